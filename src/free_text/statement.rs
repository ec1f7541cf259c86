//! Short statements: a noun of the trade and a word of its state close to each other, in a log or a sentence.
//!
//! ```text
//! no modem found        SIM card not detected        /dev/ttyUSB2 is in use        the network rejects the attach
//! ```
//!
//! A grammar of nouns, states and denials instead of a list of sentences; common practice, no source. What a
//! sentence only assumes, asks or tells of another device is left out by its polarity.

use super::polarity::{self, Polarity};
use super::words::{Word, words};
use super::{meaning, phrase};
use crate::case::{Facts, ReportedBy};
use crate::reference::status_words::{
    CardState, DeviceState, PortState, RegistrationState, State, Statement, statements,
};
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;

/// A noun and a state stand no farther apart than this many words.
const NEAR: usize = 6;

/// Reads a line; parts in `taken` were read already.
pub(super) fn read(line: &str, by: ReportedBy, base: usize, taken: &[Span], facts: &mut Facts) {
    let lower = line.to_ascii_lowercase();
    let words = words(&lower);
    let inside = |w: &Word<'_>| taken.iter().any(|s| s.start <= w.start && w.end <= s.end);
    for row in statements() {
        let Some((first, last)) =
            find(&lower, &words, row).filter(|(a, b)| !inside(a) || !inside(b))
        else {
            continue;
        };
        // `modem_init: no file found`: a name in a program is no noun of the trade.
        let named = |w: &Word<'_>| line[w.end..].starts_with('_') || line[..w.start].ends_with('_');
        if named(&first) || named(&last) {
            continue;
        }
        // `temp_state=normal last_limit=never`
        let hot = matches!(row.state, State::Device(DeviceState::Hot));
        if hot && words.iter().any(|w| ["normal", "never", "ok", "none", "below"].contains(&w.text))
        {
            continue;
        }
        // `tries.puk=10`, `PUK attempts left: 10`: a count of tries is no wish for the code.
        let code =
            matches!(row.state, State::Card(CardState::PukRequired | CardState::PinRequired));
        let has = |list: &[&str]| words.iter().any(|w| list.contains(&w.text));
        if code
            && has(&["tries", "attempts", "retries", "remaining", "counter", "left"])
            && !has(&["required", "needed", "requested", "enter", "locked", "blocked", "wants"])
        {
            continue;
        }
        // What a cell of a table says belongs to the columns beside it.
        let denied = matches!(row.state, State::Registration(RegistrationState::Denied));
        if denied && line.matches('|').count() > 3 {
            continue;
        }
        let (start, end) = (first.start, last.end);
        let polarity = if row.denial {
            polarity::of_denial(line, start, end, by)
        } else {
            polarity::of(line, start, end, by)
        };
        if polarity == Polarity::Stated {
            let span = Span::new(base + start, base + end);
            meaning::note(row.state, None, span, facts);
            return;
        }
    }
    port(line, &words, by, base, facts);
}

/// A port that is busy, closed to this user, or not there: a line that names one, and a word of its state.
fn port(line: &str, words: &[Word<'_>], by: ReportedBy, base: usize, facts: &mut Facts) {
    const STATES: [(&[&str], bool, State); 4] = [
        (
            &["use", "busy", "locked", "opened", "open", "held", "occupied", "lock"],
            false,
            State::Port(PortState::Busy),
        ),
        (
            &["denied", "permissionerror", "permitted", "permission"],
            false,
            State::Port(PortState::NoPermission),
        ),
        (
            &["exist", "exists", "found", "filenotfounderror", "appear"],
            true,
            State::Device(DeviceState::NotFound),
        ),
        (
            &["disappeared", "missing", "vanished", "gone"],
            false,
            State::Device(DeviceState::NotFound),
        ),
    ];
    let named =
        |(states, ..): &(&[&str], bool, State)| words.iter().any(|w| states.contains(&w.text));
    if !STATES.iter().any(named) || !phrase::names_a_port(line) {
        return;
    }
    for (states, denied, state) in STATES {
        let Some(at) = words.iter().position(|w| states.contains(&w.text)) else { continue };
        let word = words[at];
        let has_denial = words[at.saturating_sub(3)..at]
            .iter()
            .any(|w| words_of(List::Denial).contains(&w.text));
        // `open` alone is what every program does with a port; `already open`, `in use` is a state.
        let bare = matches!(word.text, "open" | "opened" | "use" | "lock" | "permission");
        let marked = words[at.saturating_sub(2)..at]
            .iter()
            .any(|w| matches!(w.text, "already" | "in" | "exclusively" | "no"));
        let fits = if bare { marked } else { denied == has_denial };
        if fits && polarity::of_denial(line, word.start, word.end, by) == Polarity::Stated {
            meaning::note(state, None, Span::new(base + word.start, base + word.end), facts);
            return;
        }
    }
}

/// The noun and state of a row that stand nearest to each other, in either order, with the denial that the row asks for
/// before or between them, all in one clause.
fn find<'t>(line: &str, words: &[Word<'t>], row: &Statement) -> Option<(Word<'t>, Word<'t>)> {
    let one_clause = |from: &Word<'_>, to: &Word<'_>| is_one_clause(&line[from.end..to.start]);
    let nouns = words.iter().enumerate().filter(|(_, w)| w.is(words_of(row.nouns)));
    let pairs = nouns.flat_map(|(noun, _)| {
        let near = noun.saturating_sub(NEAR)..(noun + NEAR + 1).min(words.len());
        near.filter(|at| words[*at].is(&row.words)).map(move |at| (noun.min(at), noun.max(at)))
    });
    let stated = pairs.filter_map(|(from, to)| {
        let mut before = words[from.saturating_sub(2)..to].iter();
        let denies = |w: &&Word<'_>| {
            w.is(words_of(List::Denial))
                && (w.start > words[from].start || one_clause(w, &words[from]))
        };
        let denial = before.find(denies);
        if !one_clause(&words[from], &words[to]) {
            return None;
        }
        match (row.denial, denial) {
            (true, Some(denial)) if denial.start < words[from].start => Some((*denial, from, to)),
            // A denial in between turns the statement round.
            (false, Some(denial)) if denial.start > words[from].start => None,
            (true, None) => None,
            _ => Some((words[from], from, to)),
        }
    });
    stated.min_by_key(|(_, from, to)| to - from).map(|(first, _, to)| (first, words[to]))
}

/// Whether nothing between two words ends a clause; a label may end right before what it introduces.
fn is_one_clause(gap: &str) -> bool {
    let label = gap.trim_start().starts_with(':') || gap.trim_start().starts_with(',');
    let gap = if label { gap.trim_start().get(1..).unwrap_or("") } else { gap };
    ![". ", "! ", "? ", "; ", ": ", ", "].iter().any(|border| gap.contains(border))
}

#[cfg(test)]
mod tests {
    use super::super::voice;
    use super::*;
    use crate::case::{Fact, Host, Sim};

    fn says(line: &str) -> Option<Fact> {
        let mut facts = Facts::default();
        read(line, voice::of(line), 0, &[], &mut facts);
        facts.drain().next().map(|(fact, _)| fact)
    }

    #[test]
    fn nouns_and_states_near_each_other() {
        for line in [
            "sim card not detected",
            "My modem does not recognise the SIM card.",
            "the SIM is missing",
        ] {
            assert_eq!(says(line), Some(Fact::Sim(Sim::NotInserted)), "{line}");
        }
        assert_eq!(says("No modems were found"), Some(Fact::Host(Host::NoModem)));
        assert_eq!(says("/dev/ttyUSB2 does not exist"), Some(Fact::Host(Host::NoModem)));
        assert_eq!(says("Port COM7 is already open"), Some(Fact::Host(Host::PortBusy)));
        assert_eq!(says("/dev/ttyUSB2 is in use by gate"), Some(Fact::Host(Host::PortBusy)));
        assert_eq!(says("gate: modem not responding"), Some(Fact::Host(Host::SaidSilent)));
    }

    #[test]
    fn what_is_not_stated_is_not_taken() {
        for line in [
            "If no modem is found, restart the box.",
            "The SIM is detected and present",
            "open /dev/ttyUSB2",
            "gate: opened /dev/ttyUSB2",
            "the card is not missing",
            "my other board does not see the SIM",
            "Is the SIM missing?",
            "No internet. SIM inserted",
            "It does not register; SIM detected",
            "No network. Modem detected.",
            "wwan0: the session was refused, cause: missing or unknown APN",
        ] {
            assert_eq!(says(line), None, "{line}");
        }
    }
}
