//! `status`: what a word or phrase of a log, a status page or a standard states.

use super::{Answer, Problem};
use crate::reference::causes;
use crate::reference::status_words::{State, StatusWord, Where, all, key, spelled};
use serde_json::json;

/// Every meaning of a phrase, the standards' lists first as the table has them.
///
/// # Errors
///
/// [`Problem`] where the table does not have the phrase.
pub fn status(phrase: &str) -> Result<Vec<Answer>, Problem> {
    let wanted = key(phrase);
    let mut found: Vec<&StatusWord> = spelled(&wanted).collect();
    for word in all().iter().filter(|word| word.value.is_some_and(|value| key(value) == wanted)) {
        if !found.iter().any(|other| std::ptr::eq(*other, word)) {
            found.push(word);
        }
    }
    if wanted.is_empty() || found.is_empty() {
        return Err(Problem::new(format!(
            "the table has no status `{phrase}`; write it as the log has it, as in EMM-DEREGISTERED or limited service"
        )));
    }
    // One answer for a state, whichever of the lists it stands in.
    let mut states: Vec<(&StatusWord, Vec<&str>)> = Vec::new();
    for word in found {
        match states.iter_mut().find(|(other, _)| other.state == word.state) {
            Some((_, lists)) if lists.contains(&word.list) => {}
            Some((_, lists)) => lists.push(word.list),
            None => states.push((word, vec![word.list])),
        }
    }
    Ok(states.into_iter().map(|(word, lists)| answer(phrase, word, &lists)).collect())
}

fn answer(input: &str, word: &StatusWord, lists: &[&str]) -> Answer {
    let says = meaning(word.state);
    let strength = if word.states_the_fact {
        "the phrase states it"
    } else {
        "the phrase hints at it; the lines beside it decide"
    };
    let answer = Answer::new("status", input, format!("{}: {says}", word.phrase))
        .field("name", word.phrase)
        .field("lists", json!(lists))
        .field("subject", format!("{:?}", word.subject).to_lowercase())
        .field("states_the_fact", word.states_the_fact)
        .both("meaning", "meaning", &says)
        .line("how sure", strength)
        .line("only", place(word.place))
        .line("printed behind", word.keys.join(", "))
        .line("used by", lists.join(", "));
    match word.source() {
        Some(source) => answer.source(source),
        None => answer,
    }
}

/// A state in words.
fn meaning(state: State) -> String {
    let plain = |debug: String| {
        let mut words = String::new();
        for c in debug.chars() {
            if c.is_uppercase() && !words.is_empty() {
                words.push(' ');
            }
            words.extend(c.to_lowercase());
        }
        words
    };
    match state {
        State::Registration(state) => format!("registration {}", plain(format!("{state:?}"))),
        State::Session(state) => format!("packet session {}", plain(format!("{state:?}"))),
        State::Link(state) => format!("data link {}", plain(format!("{state:?}"))),
        State::Card(state) => format!("card {}", plain(format!("{state:?}"))),
        State::Lock(state) => format!("device locked: {}", plain(format!("{state:?}"))),
        State::Radio(state) => format!("radio {}", plain(format!("{state:?}"))),
        State::Signalling(state) => {
            format!("signalling connection {}", plain(format!("{state:?}")))
        }
        State::Device(state) => format!("modem {}", plain(format!("{state:?}"))),
        State::Port(state) => format!("port {}", plain(format!("{state:?}"))),
        State::Cause(list, number) => {
            let name = causes::assigned(list, number).map_or("", |cause| cause.name);
            format!("cause {} {number}, {name}", list.name())
        }
        State::SaysNothing => "known; does not explain a failed attach".to_owned(),
        State::Unknown => "state not known to the one who printed it".to_owned(),
    }
}

fn place(place: Where) -> String {
    match place {
        Where::Anywhere => String::new(),
        Where::OwnLine => "alone on a line".into(),
        Where::Behind(name) => format!("behind {name}"),
        Where::Beside(word) => format!("on a line that has {word}"),
        Where::BesidePort => "beside a device path or port name".into(),
        Where::BehindMark => "behind a key or an arrow".into(),
        Where::BeforeValue => "before an address or a number".into(),
        Where::KernelLine => "on a kernel line of a driver".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_substate_is_found_in_whatever_spelling() {
        for text in ["EMM-DEREGISTERED.PLMN-SEARCH", "emm_deregistered_plmn_search"] {
            assert!(status(text).unwrap()[0].title.ends_with("registration searching"), "{text}");
        }
        assert!(status("no such words at all").is_err());
    }

    #[test]
    fn a_name_of_several_lists_has_an_answer_of_each() {
        let found = status("Illegal ME").unwrap();
        assert!(found.iter().any(|a| a.title.contains("EMM 6")));
        assert!(found.iter().any(|a| a.title.contains("GMM 6")));
    }
}
