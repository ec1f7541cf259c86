//! The card's state as a device's page or a program's log tells it in words: a label, a mark, and
//! the state and nothing else.
//!
//! ```text
//! SIM status: Not inserted      "simState":"ABSENT"      lock: 'sim-pin'
//! ```
//!
//! Common practice, no source.

use crate::case::{Fact, Facts, Sim};
use crate::span::Span;

/// Labels of the card's state, longer ones before those that they end with.
const LABELS: [&str; 16] = [
    "esim profile",
    "esim",
    "euicc",
    "sim card status",
    "sim card state",
    "sim card",
    "sim status",
    "sim state",
    "sim_status",
    "sim_state",
    "simstatus",
    "simstate",
    "card status",
    "card state",
    "sim",
    "lock",
];

/// The states, in small letters.
const STATES: [(&str, Sim); 28] = [
    ("no profile", Sim::NoProfile),
    ("no profile enabled", Sim::NoProfile),
    ("no enabled profile", Sim::NoProfile),
    ("no active profile", Sim::NoProfile),
    ("profile not enabled", Sim::NoProfile),
    ("profile disabled", Sim::NoProfile),
    ("absent", Sim::NotInserted),
    ("not inserted", Sim::NotInserted),
    ("not detected", Sim::NotInserted),
    ("not present", Sim::NotInserted),
    ("not found", Sim::NotInserted),
    ("no sim", Sim::NotInserted),
    ("no sim card", Sim::NotInserted),
    ("missing", Sim::NotInserted),
    ("removed", Sim::NotInserted),
    ("pin required", Sim::PinRequired),
    ("pin_required", Sim::PinRequired),
    ("pin locked", Sim::PinRequired),
    ("sim pin", Sim::PinRequired),
    ("sim-pin", Sim::PinRequired),
    ("puk required", Sim::PukRequired),
    ("puk_required", Sim::PukRequired),
    ("puk locked", Sim::PukRequired),
    ("sim puk", Sim::PukRequired),
    ("sim-puk", Sim::PukRequired),
    ("failure", Sim::Failure),
    ("ready", Sim::Ready),
    ("loaded", Sim::Ready),
];

/// What may stand around a label and a state.
const QUOTES: [char; 4] = ['"', '\'', ' ', '\t'];

/// Reads a line; `lower` is it in small letters, `base` where it begins.
pub(super) fn read(lower: &str, base: usize, facts: &mut Facts) {
    for mark in memchr::memchr3_iter(b':', b'=', b'|', lower.as_bytes()) {
        let (Some((label, at)), Some((sim, end))) = (label(&lower[..mark]), state(lower, mark + 1))
        else {
            continue;
        };
        // A lock that is none says nothing of the card itself.
        if label != "lock" || matches!(sim, Sim::PinRequired | Sim::PukRequired) {
            facts.push(Fact::Sim(sim), Span::new(base + at, base + end));
            return;
        }
    }
}

/// The label at the end of what stands before a mark, and where it begins.
fn label(before: &str) -> Option<(&'static str, usize)> {
    let before = before.trim_end_matches(QUOTES);
    let label = LABELS.into_iter().find(|label| before.ends_with(label))?;
    let at = before.len() - label.len();
    let inside = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '-');
    (!before[..at].ends_with(inside)).then_some((label, at))
}

/// The state behind a mark, and where it ends.
fn state(lower: &str, from: usize) -> Option<(Sim, usize)> {
    let value = lower[from..].trim_start_matches(QUOTES);
    let begun = lower.len() - value.len();
    let (word, sim) = STATES
        .iter()
        .filter(|(word, _)| value.starts_with(word))
        .max_by_key(|(word, _)| word.len())?;
    // The state is all that stands there, up to what parts it from the next thing.
    let behind = value[word.len()..].trim_start_matches(QUOTES);
    let ends = behind.is_empty() || behind.starts_with([',', ';', '}', '|', '.', '!', '(']);
    ends.then(|| (*sim, begun + word.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(line: &str) -> Option<Sim> {
        let mut facts = Facts::default();
        read(&line.to_ascii_lowercase(), 0, &mut facts);
        facts.drain().find_map(|(fact, _)| match fact {
            Fact::Sim(sim) => Some(sim),
            _ => None,
        })
    }

    #[test]
    fn a_state_behind_its_label_is_read() {
        assert_eq!(told("SIM Status: Not inserted"), Some(Sim::NotInserted));
        assert_eq!(told("{\"simState\":\"ABSENT\",\"service\":\"x\"}"), Some(Sim::NotInserted));
        assert_eq!(told("slot 1 | lock: 'sim-pin'"), Some(Sim::PinRequired));
        assert_eq!(told("SIM card state = PUK required (0 left)"), Some(Sim::PukRequired));
        assert_eq!(told("SIM: Ready"), Some(Sim::Ready));
        assert_eq!(told("eUICC: no profile enabled"), Some(Sim::NoProfile));
    }

    #[test]
    fn other_words_are_none() {
        for line in [
            "lock: 'none'",
            "lock: ready",
            "SIM: error while reading the slot",
            "is the SIM: ready or not inserted?",
            "sim: ready to be tested when the new antenna has come",
            "tries left: 'sim-pin (3), sim-puk (10)'",
            "the sim is not inserted",
            "eSIM: no profile enabled on the other board either, I think",
            "lock: 'sim-pin2'",
        ] {
            assert_eq!(told(line), None, "{line}");
        }
    }
}
