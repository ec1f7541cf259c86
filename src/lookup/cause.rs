//! `cause`: what a number means that a network gave.

use super::{Answer, Problem};
use crate::reference::causes::{self, CauseList, Found, Retries, Sender};
use crate::reference::timers;
use serde_json::{Value, json};

/// The cause of a number in a list, or in every list where none is named.
///
/// # Errors
///
/// [`Problem`] where the number is none from 0 to 255.
pub fn cause(list: Option<CauseList>, number: &str) -> Result<Vec<Answer>, Problem> {
    let plain = number.trim().trim_start_matches('#');
    let Ok(n) = plain.parse::<u8>() else {
        return Err(Problem::new(format!(
            "`{number}` is no cause; causes are numbers from 0 to 255, as in `cause emm 15`"
        )));
    };
    let lists: Vec<CauseList> = list.map_or_else(|| CauseList::ALL.to_vec(), |l| vec![l]);
    let mut answers: Vec<Answer> = lists.iter().filter_map(|l| one(*l, n)).collect();
    if list.is_none() {
        // With no list named, the lists that assign the number come first.
        answers.sort_by_key(|a| !a.valid);
        if answers.iter().any(|a| a.valid) {
            answers.retain(|a| a.valid);
        }
    }
    if answers.is_empty() {
        Err(Problem::new(format!("no table has a cause {n}")))
    } else {
        Ok(answers)
    }
}

fn one(list: CauseList, n: u8) -> Option<Answer> {
    let word = list.word().to_ascii_uppercase();
    let input = format!("{} {n}", list.word());
    Some(match causes::cause(list, n)? {
        Found::Assigned(cause) => {
            let timers: Vec<Value> = cause
                .timer_names()
                .flat_map(timers::named)
                .map(|t| json!({"name": t.name, "value": t.value, "kind": t.kind}))
                .collect();
            Answer::new("cause", input, format!("{word} cause {n}: {}", cause.name))
                .field("list", list.word())
                .field("value", n)
                .both("name", "name", cause.name)
                .both("meaning", "meaning", cause.meaning)
                .both("sender", "sent by", cause.sender.map_or("", Sender::words))
                .both("acts", "can act", cause.acts)
                .both(
                    "retries",
                    "the modem",
                    if cause.retries == Retries::Unsaid { "" } else { cause.retries.words() },
                )
                .both("timer", "timer", cause.timer)
                .field("timers", timers)
                .field("assigned", true)
                .source(cause.source)
        }
        Found::Unassigned { by_modem, by_network, source } => {
            Answer::new("cause", input, format!("{word} cause {n} is not assigned"))
                .invalid()
                .field("list", list.word())
                .field("value", n)
                .field("name", Value::Null)
                .field("assigned", false)
                .field("treated_as", by_modem.first)
                .field("treated_as_name", by_modem.name)
                .field("treated_as_by_network", by_network.first)
                .field(
                    "meaning",
                    format!(
                        "unassigned; a modem treats it as {} ({})",
                        by_modem.first, by_modem.name
                    ),
                )
                .line("a modem treats it as", format!("{} ({})", by_modem.first, by_modem.name))
                .line(
                    "a network treats it as",
                    format!("{} ({})", by_network.first, by_network.name),
                )
                .source(source)
        }
    })
}
