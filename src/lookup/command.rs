//! `command` and timers: the grammar of a command, the value of a timer.

use super::{Answer, Problem};
use crate::reference::{commands, timers};
use serde_json::json;

/// What a command asks and what its values mean.
///
/// # Errors
///
/// [`Problem`] where the table has no such command.
pub fn command(text: &str) -> Result<Vec<Answer>, Problem> {
    let found: Vec<_> = commands::named(text)
        .into_iter()
        .map(|c| {
            // Where the answer has no name of its own, that of the command stands before it.
            let title = if c.reply.starts_with(c.name) {
                c.reply.to_owned()
            } else {
                format!("{}: {}", c.name, c.reply)
            };
            let mut answer = Answer::new("command", text, title)
                .field("name", c.name)
                .field("forms", c.forms)
                .field("reply", c.reply)
                .field("values", json!(c.values))
                .field("meaning", c.values.join(" | "))
                .field("release", c.release)
                .field("changes", c.changes)
                .line("forms", c.forms);
            for value in &c.values {
                answer = answer.line("values", *value);
            }
            answer.line("changes", c.changes).line("since", c.release).source(c.source)
        })
        .collect();
    if !found.is_empty() {
        return Ok(found);
    }
    let family = text.trim().to_ascii_uppercase();
    let family = family.strip_prefix("AT").unwrap_or(&family);
    let head = &family[..family.find(['=', '?']).unwrap_or(family.len())];
    if let Some(f) = crate::response::family(head) {
        let yields: Vec<_> = f.yields.iter().map(|q| q.name()).collect();
        return Ok(vec![
            Answer::new("command", text, format!("{head}: {}", f.about))
                .field("name", head)
                .field("meaning", f.about)
                .field("yields", json!(yields))
                .field("clause", f.source)
                .line("yields", yields.join(", "))
                .line(
                    "read by",
                    if f.request.is_empty() { String::new() } else { format!("AT{}", f.request) },
                )
                .line("source", f.source),
        ]);
    }
    let first = head.trim_start_matches('+').chars().next();
    let near = commands::commands().iter().map(|c| c.name).find(|n| {
        n.trim_start_matches('+').chars().next() == first && n.len().abs_diff(head.len()) < 2
    });
    let problem = Problem::new(format!("the table has no command `{text}`; write it as in +CEREG"));
    Err(near.map_or(problem.clone(), |n| problem.near(n)))
}

/// The timers whose meaning has a word.
pub(super) fn timers_about(word: &str) -> Vec<Answer> {
    let has = |text: &str| {
        text.split(|c: char| !c.is_ascii_alphanumeric()).any(|own| own.eq_ignore_ascii_case(word))
    };
    let about = timers::all().iter().filter(|t| has(t.meaning));
    about.flat_map(|t| timer(t.name)).collect()
}

/// The timers of a name.
pub fn timer(name: &str) -> Vec<Answer> {
    timers::named(name.trim())
        .into_iter()
        .map(|t| {
            Answer::new("timer", name, format!("{} ({}): {}", t.name, t.layer, t.value))
                .field("name", t.name)
                .field("layer", t.layer)
                .field("value", t.value)
                .field("meaning", t.meaning)
                .field("kind", t.kind)
                .field("nb_iot", t.nb_iot)
                .line("meaning", t.meaning)
                .line("kind", t.kind)
                .line("in NB-IoT", t.nb_iot)
                .source(t.source)
        })
        .collect()
}
