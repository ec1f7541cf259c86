//! The network's reasons as a program's log or a person tells them in words.
//!
//! ```text
//! ATTACH REJECT, EMM cause: 7        registration denied, reject_cause=15
//! ESM cause 27 - missing or unknown APN      couldn't register: PLMN not allowed
//! ```
//!
//! Common practice, no source. What is told is of the past: what a reply says later counts more.

use crate::case::{Cell, Fact, Facts, Quantity, Reject};
use crate::reference::causes::{CauseList, assigned};
use crate::response::standard::failure::causes_in_words;
use crate::span::Span;

/// Parts of words without one of which, or the word `cause`, a line tells no reason; they begin as
/// few other words do, because a line is looked through for their beginnings first.
pub(super) const WORDS: [&str; 13] = [
    "reject",
    "llowed",
    "nknown in h",
    "nknown apn",
    "nknown or missing",
    "egal ",
    "suitable cell",
    "bscribed",
    "epted",
    "barring",
    "pdn type",
    "uthori",
    "uthentication failed",
];

/// Reads a line; `lower` is it in small letters, `base` where it begins.
pub(super) fn read(lower: &str, base: usize, facts: &mut Facts) {
    if is_guess(lower) {
        return;
    }
    let mut causes = causes_in_words(lower);
    if causes.is_empty() {
        causes.extend(without_list(lower));
    } else if !numbered(lower) && !is_of_the_network(lower) {
        return;
    }
    let end = lower.trim_end().len();
    let span = Span::new(base + end - lower.trim().len(), base + end);
    for (kind, cause) in causes {
        facts.push(Fact::Reject(Reject { kind, cause, history: true }), span);
        facts.number(Quantity::RejectCause, f64::from(cause), Cell::Serving, span);
    }
}

/// A question, a guess, an explanation or a tale of another day tells nothing of this modem now.
fn is_guess(lower: &str) -> bool {
    const WORDS: [&str; 24] = [
        "?",
        " means",
        "stands for",
        "maybe",
        "perhaps",
        "could be",
        "might ",
        "if ",
        "whether ",
        " like ",
        "no cause",
        "no reject",
        " or cause",
        "in case",
        "forum",
        "manual",
        "datasheet",
        "i read",
        "searched",
        "yesterday",
        "last week",
        "last time",
        "used to",
        "other modem",
    ];
    WORDS.iter().any(|word| lower.contains(word))
}

/// Whether a cause stands in a line; `because` is none.
pub(super) fn has_cause(lower: &str) -> bool {
    let mut all = memchr::memmem::find_iter(lower.as_bytes(), b"cause");
    all.any(|at| !lower[..at].ends_with("be"))
}

/// Whether the name of a list stands there, with a number somewhere behind it.
fn numbered(lower: &str) -> bool {
    let lists = ["emm", "esm", "gmm", "5gmm", "5gsm", "mm", "sm"];
    let mut words = lower.split(|c: char| !c.is_ascii_alphanumeric());
    words.by_ref().any(|word| lists.contains(&word)) && words.any(|word| word.parse::<u8>().is_ok())
}

/// Whether a line that names a reason without a number speaks of the network's answer: other
/// programs have users whose authentication failed, too.
fn is_of_the_network(lower: &str) -> bool {
    let told = ["fail", "reject", "denied", "refused", "error", "couldn't", "could not", "cause"];
    let subject = [
        "attach",
        "regist",
        "emm",
        "esm",
        "gmm",
        "pdp",
        "pdn",
        "plmn",
        "imsi",
        "imei",
        "eps",
        "gprs",
        "apn",
        "tracking area",
        "location area",
        "illegal ue",
        "illegal ms",
        "illegal me",
        "lte",
        "network rejected",
    ];
    let holds = |words: &[&str]| words.iter().any(|word| lower.contains(word));
    holds(&told) && holds(&subject)
}

/// A number behind `cause` whose list the line does not name but its subject tells.
fn without_list(lower: &str) -> Option<(CauseList, u8)> {
    let has = |words: &[&str]| words.iter().any(|word| lower.contains(word));
    let session = has(&["pdn", "pdp", "session", "context", "bearer"]);
    let mobility = has(&["attach", "regist", "reject", "denied", "tracking area"]);
    // Calls, messages and servers have causes of their own.
    let other =
        has(&["call", "sip", "sms", "message", "http", "mqtt", "tls", "server", "firewall"]);
    if other || !session && !mobility {
        return None;
    }
    let number = lower.match_indices("cause").find_map(|(at, word)| {
        let rest =
            lower[at + word.len()..].trim_start_matches([' ', ':', '=', '#', '_', '"', '(', '[']);
        let rest = ["code", "value", "number", "no."]
            .iter()
            .find_map(|w| rest.strip_prefix(w))
            .unwrap_or(rest);
        let rest = rest.trim_start_matches([' ', ':', '=', '#', '"', '(']);
        let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
        let ends = !rest[digits..].starts_with(|c: char| c.is_ascii_alphanumeric());
        rest[..digits].parse::<u8>().ok().filter(|_| ends)
    })?;
    let list = if session { CauseList::Esm } else { CauseList::Emm };
    assigned(list, number).map(|_| (list, number))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn causes(line: &str) -> Vec<(CauseList, u8)> {
        let mut facts = Facts::default();
        read(&line.to_ascii_lowercase(), 0, &mut facts);
        let cause = |fact| match fact {
            Fact::Reject(reject) => Some((reject.kind, reject.cause)),
            _ => None,
        };
        facts.drain().filter_map(|(fact, _)| cause(fact)).collect()
    }

    // Numbers and names of TS 24.301 §9.9.3.9 and §9.9.4.4.
    #[test]
    fn a_reason_is_read_by_its_number_or_its_name() {
        for (line, kind, cause) in [
            ("ATTACH REJECT, EMM cause: 7", CauseList::Emm, 7),
            ("LTE attach failed, EMM reject cause = 6", CauseList::Emm, 6),
            ("registration denied, reject_cause=15", CauseList::Emm, 15),
            ("cause_type: 0, reject_cause: 15", CauseList::Emm, 15),
            (
                "Attach reject (cause #8 EPS services and non-EPS services not allowed)",
                CauseList::Emm,
                8,
            ),
            ("NAS: AttachReject{emmCause=14}", CauseList::Emm, 14),
            ("couldn't register: PLMN not allowed", CauseList::Emm, 11),
            ("error: 'No suitable cells in tracking area'", CauseList::Emm, 15),
            ("ESM cause 27 - missing or unknown APN", CauseList::Esm, 27),
            ("error: couldn't connect the modem: 'Unknown APN'", CauseList::Esm, 27),
            (
                "PDP activation failed: Requested service option not subscribed (33)",
                CauseList::Esm,
                33,
            ),
            ("activation of the PDP context failed, cause code: 29", CauseList::Esm, 29),
        ] {
            assert_eq!(causes(line), [(kind, cause)], "{line}");
        }
    }

    #[test]
    fn questions_guesses_and_other_programs_reasons_are_none() {
        for line in [
            "could it be EMM cause 15?",
            "EMM cause 15 means that no suitable cell was found",
            "it fails because the tracking area is 15",
            "mqtt: user authentication failed",
            "the root cause is 7 missing screws",
            "reject cause 250",
            "the call was rejected with cause 17",
            "Yesterday: ATTACH REJECT EMM cause 15",
            "the forum says that cause 11 is PLMN not allowed",
            "no reject cause in the log",
            "connections like these are not allowed",
        ] {
            assert_eq!(causes(line), [], "{line}");
        }
    }
}
