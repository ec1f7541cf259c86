//! What a log tells of the card and of the modem itself.

use super::super::{meaning, values, voice};
use super::Line;
use crate::case::{Fact, Facts, Host, Power};
use crate::reference::status_words::Of;
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;

/// `card ready`, `SIM busy`: the noun and its state next to each other.
pub(super) fn card(line: &Line<'_>, facts: &mut Facts) {
    if line.has(&["sd", "memory", "network", "sound", "graphics", "mmc"]) {
        return;
    }
    for pair in line.words.windows(2) {
        if !pair[0].is(words_of(List::CardNoun)) || !pair[1].is(words_of(List::CardEvent)) {
            continue;
        }
        let Some(new) = values::of(Of::Card, pair[1].text) else { continue };
        let at = line.words.iter().position(|w| w.start == pair[0].start).unwrap_or(0);
        if line.text[pair[0].end..pair[1].start].len() <= 12
            && let Some(span) = line.stated(at, at + 1)
        {
            meaning::note(new, None, span, facts);
            return;
        }
    }
}

/// `boot reason: brownout`, `reset cause = watchdog`: why the modem started.
pub(super) fn restart_reason(line: &Line<'_>, facts: &mut Facts) {
    let words = line.words;
    // Boards and boxes start over, too.
    if !words.iter().any(|w| w.is(&["modem", "module"])) {
        return;
    }
    let Some(at) = words.windows(2).position(|pair| {
        pair[0].is(&["boot", "reset", "restart", "reboot", "start"])
            && pair[1].is(&["reason", "cause"])
    }) else {
        return;
    };
    for (n, word) in words.iter().enumerate().skip(at + 2).take(3) {
        let fact = if word.is(words_of(List::ReasonSupply)) {
            Fact::Power(Power::LowVoltage)
        } else if word.is(words_of(List::ReasonFault)) {
            Fact::Fault
        } else {
            continue;
        };
        if let Some(span) = line.stated(n, n) {
            facts.push(fact, span);
        }
        return;
    }
}

/// `init: no modem`: a message that ends with it.
pub(super) fn no_modem(line: &Line<'_>, facts: &mut Facts) {
    if let [.., no, modem] = line.words
        && no.text == "no"
        && modem.is(&["modem", "modems", "module"])
        && line.text[no.end..modem.start].trim().is_empty()
    {
        let span = Span::new(line.base + no.start, line.base + modem.end);
        facts.push(Fact::Host(Host::NoModem), span);
    }
}

/// Whether the line of a program says that it restarts the modem itself.
pub(in super::super) fn host_restarts(line: &str) -> bool {
    let lower = line.to_ascii_lowercase();
    if !lower.contains("mod") || voice::is_kernel(line) {
        return false;
    }
    let words: Vec<&str> = lower
        .split(|c: char| !(c.is_alphanumeric() || c == '-'))
        .filter(|w| !w.is_empty())
        .collect();
    let near = |noun: &str| {
        words.iter().enumerate().filter(|(_, w)| **w == noun).any(|(at, _)| {
            words[at.saturating_sub(2)..(at + 3).min(words.len())]
                .iter()
                .any(|w| words_of(List::HostRestart).contains(w))
        })
    };
    (near("modem") || near("module"))
        && !words.contains(&"unexpected")
        && !words.contains(&"unexpectedly")
}
