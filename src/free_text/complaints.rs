//! What people complain of: nothing answers, the modem starts over by itself, the PIN is asked again.
//!
//! A denial near a word of answering, or a word of starting over near one of repetition: grammar, not phrases.
//! Common practice, no source.

use super::polarity::{self, Polarity};
use super::words::{Word, split};
use crate::case::{Fact, Facts, Host, ReportedBy};
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;

/// Reads a line of a person's words or of a program's log.
pub(super) fn read(line: &str, lower: &str, by: ReportedBy, base: usize, facts: &mut Facts) {
    // A sign before a command stays.
    let words =
        split(lower, |c| c.is_alphanumeric() || matches!(c, '\'' | '\u{2019}' | '+' | '*' | '#'));
    let words = words.as_slice();
    let said = silence(line, words).filter(|_| by == ReportedBy::Person);
    let found = said
        .map(|w| (w, Fact::Host(Host::SaidSilent)))
        .or_else(|| time_out(lower, words).map(|w| (w, Fact::Host(Host::Silent))))
        .or_else(|| suspended(words, by).map(|w| (w, Fact::SaidSuspended)))
        .or_else(|| restarts(words).map(|w| (w, Fact::SaidRestarts)))
        .or_else(|| pin_again(words).map(|w| (w, Fact::PinAskedAgain)));
    let Some((Word { start, end, .. }, fact)) = found else { return };
    // The denial of an answer is the complaint itself.
    let silent = matches!(fact, Fact::Host(_));
    let from = if matches!(fact, Fact::SaidSuspended) { behind_carrier(words, start) } else { 0 };
    let polarity = if from > 0 {
        polarity::of(&line[from..], start - from, end - from, by)
    } else if silent {
        polarity::of_denial(line, start, end, by)
    } else {
        polarity::of(line, start, end, by)
    };
    if polarity == Polarity::Stated {
        facts.push(fact, Span::new(base + start, base + end));
    }
}

/// Nothing answers `AT`, or the modem as a whole.
fn silence<'t>(line: &str, words: &[Word<'t>]) -> Option<Word<'t>> {
    let bare = line.match_indices("AT").any(|(at, _)| {
        let free = |c: Option<char>| !c.is_some_and(|c| c.is_alphanumeric() || c == '+');
        free(line[..at].chars().next_back()) && free(line[at + 2..].chars().next())
    });
    let modem = words.iter().any(|w| w.is(&["modem", "module"]));
    let command = words.iter().any(|w| w.text.starts_with("at+"));
    if !bare && (!modem || command) || words.iter().any(|w| w.is(words_of(List::OtherAnswerer))) {
        return None;
    }
    let denied =
        |at: usize| words[at.saturating_sub(4)..at].iter().any(|w| w.is(words_of(List::Denial)));
    let answers = words
        .iter()
        .enumerate()
        .find(|(at, w)| w.is(words_of(List::Answer)) && (denied(*at) || w.text == "unresponsive"));
    let nothing = || {
        words.windows(2).find(|pair| {
            pair[0].is(&["get", "gets", "got", "getting", "nothing", "receive"])
                && pair[1].is(&["nothing", "back", "comes", "came"])
        })
    };
    answers.map(|(_, w)| *w).or_else(|| nothing().map(|pair| pair[0]))
}

/// A program waited for an answer in vain.
fn time_out<'t>(lower: &str, words: &[Word<'t>]) -> Option<Word<'t>> {
    let waited = words
        .iter()
        .position(|w| w.is(&["timeout", "timedout"]))
        .or_else(|| words.windows(2).position(|p| p[0].text == "timed" && p[1].text == "out"))?;
    let about = words.iter().any(|w| {
        w.is(&[
            "waiting", "wait", "response", "reply", "answer", "read", "at", "command", "serial",
            "modem", "ok",
        ])
    });
    let other = words.iter().any(|w| {
        w.is(words_of(List::OtherAnswerer))
            || w.is(&["connect", "connection", "set", "registration", "attach"])
    });
    (about && !other && !lower.contains("timeout set")).then(|| words[waited])
}

/// The modem starts over by itself.
fn restarts<'t>(words: &[Word<'t>]) -> Option<Word<'t>> {
    if !words.iter().any(|w| w.is(&["modem", "module"]))
        || words.iter().any(|w| {
            w.is(&["router", "host", "server", "gateway", "computer", "script", "service"])
        })
    {
        return None;
    }
    let again = words.iter().any(|w| w.is(words_of(List::Repetition)));
    let verb = words.iter().find(|w| w.is(words_of(List::Restart))).filter(|_| again);
    let looped = || {
        words
            .windows(2)
            .find(|p| p[0].is(&["boot", "reboot", "restart", "reset"]) && p[1].text == "loop")
            .map(|p| p[0])
    };
    let joined = || words.iter().find(|w| w.text == "bootloop").copied();
    verb.copied().or_else(looped).or_else(joined)
}

/// `the SIM was suspended`: what the carrier does to a contract, told by a person.
fn suspended<'t>(words: &[Word<'t>], by: ReportedBy) -> Option<Word<'t>> {
    /// A card or contract and its state stand no farther apart than this many words.
    const NEAR: usize = 6;
    let over = words.iter().any(|w| w.is(words_of(List::ContractRunsAgain)));
    if by != ReportedBy::Person || over {
        return None;
    }
    let (at, state) =
        words.iter().enumerate().find(|(_, w)| w.is(words_of(List::ContractEnded)))?;
    let noun = |w: &Word<'_>| w.is(words_of(List::CardNoun)) || w.is(words_of(List::Contract));
    let near = &words[at.saturating_sub(NEAR)..(at + NEAR).min(words.len())];
    // `was suspended` is so still: the verb before it says nothing of the past.
    let passive = at.checked_sub(1).map(|n| words[n]).filter(|w| w.is(&["was", "were", "wurde"]));
    let start = passive.map_or(state.start, |verb| verb.start);
    near.iter().any(noun).then_some(Word { start, ..*state })
}

/// Where the carrier's own word begins: `the carrier says that …` is no hearsay of its contract.
fn behind_carrier(words: &[Word<'_>], start: usize) -> usize {
    const SAYS: [&str; 7] = ["says", "said", "tells", "told", "writes", "wrote", "confirms"];
    const CARRIER: [&str; 5] = ["carrier", "operator", "provider", "anbieter", "opérateur"];
    let before: Vec<_> = words.iter().take_while(|w| w.end <= start).collect();
    let says = before.iter().rposition(|w| w.is(&SAYS));
    says.filter(|at| before[..*at].iter().any(|w| w.is(&CARRIER))).map_or(0, |at| before[at].end)
}

/// `but asking again it wants the pin again`.
fn pin_again<'t>(words: &[Word<'t>]) -> Option<Word<'t>> {
    let pin = words.iter().find(|w| w.text == "pin")?;
    let asks = ["wants", "asks", "asking", "needs", "requires", "demands"];
    (words.iter().any(|w| w.text == "again") && words.iter().any(|w| w.is(&asks))).then_some(*pin)
}

#[cfg(test)]
mod tests {
    use super::super::voice;
    use super::*;

    #[test]
    fn contracts_that_the_carrier_ended() {
        for line in [
            "The carrier told us that the SIM was suspended on Monday.",
            "The carrier says that the SIM is barred because of the bill",
            "It turns out our subscription is terminated since the last bill is unpaid",
            "Die Karte ist beim Anbieter gekündigt, und wir haben das nicht gewusst.",
        ] {
            assert_eq!(says(line), Some(Fact::SaidSuspended), "{line}");
        }
        for line in [
            "Is the SIM suspended?",
            "The carrier says that the SIM may be suspended",
            "the SIM is suspended or what?",
            "The SIM is not suspended, we have asked them.",
            "if the SIM is suspended the network says no",
            "The SIM was suspended and is reactivated now.",
            "maybe the SIM is suspended by the carrier",
            "we terminated the cable at the antenna ourselves",
        ] {
            assert_eq!(says(line), None, "{line}");
        }
    }

    fn says(line: &str) -> Option<Fact> {
        let mut facts = Facts::default();
        read(line, &line.to_lowercase(), voice::of(line), 0, &mut facts);
        facts.drain().next().map(|(fact, _)| fact)
    }

    #[test]
    fn a_person_says_that_nothing_answers() {
        for line in [
            "I send AT and get nothing.",
            "The module doesn't respond to AT commands at any speed.",
            "There is no response at all from the modem",
            "It never answers AT.",
        ] {
            assert_eq!(says(line), Some(Fact::Host(Host::SaidSilent)), "{line}");
        }
    }

    #[test]
    fn another_silence_is_not_the_ports() {
        for line in [
            "AT works, but there is no response from the server",
            "I see no response to AT+COPS=?",
            "if the modem does not respond, check the speed",
            "Is there no response to AT?",
            "no answer from the carrier about the AT card",
            "the modem was not responding earlier",
        ] {
            assert_eq!(says(line), None, "{line}");
        }
    }

    #[test]
    fn a_program_waits_in_vain() {
        assert_eq!(says("12:00:01 gate: timeout waiting for OK"), Some(Fact::Host(Host::Silent)));
        assert_eq!(says("12:00:01 gate: connection timed out"), None);
    }

    #[test]
    fn the_modem_starts_over() {
        for line in [
            "Each time it tries to attach, the module reboots.",
            "my modem keeps restarting",
            "The modem resets by itself after a minute",
            "the module is in a boot loop",
        ] {
            assert_eq!(says(line), Some(Fact::SaidRestarts), "{line}");
        }
        for line in [
            "the router restarts every time the modem is lost",
            "if the modem restarts by itself, check the supply",
            "I restart the modem every time",
            "the modem no longer restarts by itself",
            "after the module restarts it works",
        ] {
            assert_eq!(says(line), None, "{line}");
        }
    }
}
