//! Registration as a device's page or a program's log tells it in words: a label that speaks of
//! registration, a mark, and the state.
//!
//! Words alone do not say which domain is meant; a line that names LTE, 5G or packet data does.

use crate::case::{Domain, Fact, Facts, Registration};
use crate::span::Span;

/// Of these a line must hold one to tell a state at all.
pub(super) const LABELS: [&str; 3] = ["registration", "network status", "network state"];

/// The marks between label and state.
const MARKS: [&str; 6] = [":", "=", "->", "is ", "changed to ", "changed: "];

const REFUSALS: [&str; 4] = ["denied", "refused", "rejected", "forbidden"];

/// Reads a line; `lower` is it in small letters, `base` where it begins.
pub(super) fn read(lower: &str, base: usize, facts: &mut Facts) {
    // A longer text is a sentence about it, or an explanation.
    const LONGEST: usize = 40;
    let found = LABELS.iter().find_map(|label| Some((lower.find(label)?, label.len())));
    let Some((label, length)) = found else { return };
    let rest = &lower[label + length..];
    let rest = ["", " status", " state", "_status", "_state"]
        .iter()
        .filter_map(|word| rest.strip_prefix(word))
        .next_back()
        .unwrap_or(rest);
    let rest = rest.trim_start_matches([' ', '"', '\'', ')']);
    // `state changed (searching -> denied)`: the latter counts.
    let changed = rest.strip_prefix("changed").and_then(|r| Some(r.rsplit_once("->")?.1));
    let value = changed.or_else(|| MARKS.iter().find_map(|mark| rest.strip_prefix(mark)));
    // A refusal needs no mark: `registration denied`.
    let refusal = REFUSALS.iter().any(|word| rest.starts_with(word)).then_some(rest);
    let Some(value) = value.or(refusal).map(str::trim).filter(|v| v.len() <= LONGEST) else {
        return;
    };
    let Some(stat) = state(value) else { return };
    let span = Span::new(base + label, base + label + (lower.len() - label));
    match domain(lower) {
        Some(domain) => facts.push(
            Fact::Registration(Registration { domain, stat, act: None, unsolicited: true }),
            span,
        ),
        None => facts.push(Fact::ReportedState(stat), span),
    }
}

/// The `<stat>` of TS 27.007 §7.2 that the words stand for.
fn state(words: &str) -> Option<u8> {
    let has = |any: &[&str]| any.iter().any(|w| words.contains(w));
    // A question or a list of what may come tells nothing.
    if has(&["?", "|", " or ", "/"]) {
        return None;
    }
    let not = has(&[
        "not registered",
        "not_registered",
        "unregistered",
        "not-registered",
        "not connected",
    ]);
    Some(if has(&REFUSALS) {
        3
    } else if has(&["search", "registering"]) {
        2
    } else if not {
        0
    } else if has(&["emergency"]) {
        8
    } else if has(&["roam"]) {
        5
    } else if has(&["registered", "home"]) {
        1
    } else {
        return None;
    })
}

fn domain(line: &str) -> Option<Domain> {
    let mut words = line.split(|c: char| !c.is_ascii_alphanumeric());
    words.find_map(|w| match w {
        "lte" | "eps" | "4g" | "ltem" | "nbiot" | "eutran" => Some(Domain::Eps),
        "5g" | "5gs" | "nr" => Some(Domain::FiveG),
        "gprs" | "packet" | "ps" => Some(Domain::Packet),
        "circuit" | "cs" | "voice" => Some(Domain::Circuit),
        _ => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(line: &str) -> Vec<Fact> {
        let mut facts = Facts::default();
        read(&line.to_ascii_lowercase(), 0, &mut facts);
        facts.drain().map(|f| f.0).collect()
    }

    #[test]
    fn a_line_that_names_its_system_is_a_state_of_it() {
        for (line, domain, stat) in [
            ("lte: Network registration status: Connected - home network", Domain::Eps, 1),
            ("EPS registration: denied", Domain::Eps, 3),
            ("5G registration state = searching", Domain::FiveG, 2),
            ("CS registration: Not registered", Domain::Circuit, 0),
        ] {
            let state = Registration { domain, stat, act: None, unsolicited: true };
            assert_eq!(facts(line), [Fact::Registration(state)], "{line}");
        }
    }

    #[test]
    fn a_line_that_names_none_tells_a_state_of_its_own_kind() {
        assert_eq!(facts("Registration Status: Registered (Roaming)"), [Fact::ReportedState(5)]);
        assert_eq!(facts("network registration is denied"), [Fact::ReportedState(3)]);
        assert_eq!(facts("Network registration denied!"), [Fact::ReportedState(3)]);
        assert_eq!(
            facts("registration state changed (searching -> denied)"),
            [Fact::ReportedState(3)]
        );
        assert_eq!(facts("registration: not registered, searching"), [Fact::ReportedState(2)]);
        assert_eq!(facts("network state changed: SEARCHING"), [Fact::ReportedState(2)]);
        assert_eq!(facts("Network status = denied"), [Fact::ReportedState(3)]);
        for other in [
            "registration: yes",
            "is the registration status: registered or denied?",
            "registration status: please read the manual on how the modem is registered at home",
            "the registration was denied, they said",
        ] {
            assert_eq!(facts(other), [], "{other}");
        }
    }
}
