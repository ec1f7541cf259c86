//! The network's reasons as a program's log or a person writes them: a number behind the word `cause`.
//!
//! ```text
//! ATTACH REJECT, EMM cause: 7        registration denied, reject_cause=15        ESM cause 27 - unknown APN
//! ```
//!
//! Names of causes stand in the vocabulary. Here a number counts where the line names its list, or the procedure that
//! was refused; calls, messages and servers have causes of their own.

use super::polarity::{self, Polarity};
use crate::case::{Facts, ReportedBy};
use crate::reference::causes::{CauseList, assigned};
use crate::reference::status_words::State;
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;

/// What stands before the number.
const LABELS: [&str; 4] = ["cause", "reason", "reject", "error"];

/// Reads a line; `lower` is it in small letters, `base` where it begins. Gives where a reason was found.
pub(super) fn read(
    line: &str,
    lower: &str,
    by: ReportedBy,
    base: usize,
    facts: &mut Facts,
) -> Option<Span> {
    let (start, end, number) = numbered(lower).or_else(|| behind_list(lower))?;
    // In a record the event may stand behind the number.
    let record = lower.trim_start().starts_with('{');
    let list = list(&lower[..end]).or_else(|| list(lower).filter(|_| record))?;
    assigned(list, number)?;
    if polarity::of(line, start, end, by) != Polarity::Stated {
        return None;
    }
    let span = Span::new(base + start, base + end);
    super::meaning::note(State::Cause(list, number), None, span, facts);
    Some(Span::new(start, end))
}

/// `emm=22`, `esm 26`: the number directly behind the name of its list, in a line that tells of a refusal.
fn behind_list(lower: &str) -> Option<(usize, usize, u8)> {
    if !words_of(List::RefusalStem).iter().any(|word| lower.contains(word)) {
        return None;
    }
    ["emm", "esm", "gmm", "5gmm", "5gsm"].iter().find_map(|name| {
        lower.match_indices(name).find_map(|(at, _)| {
            let free = !lower[..at].ends_with(|c: char| c.is_ascii_alphanumeric());
            let rest = &lower[at + name.len()..];
            let value = rest.trim_start_matches([' ', '=', ':', '#', '"', '\'']);
            let (digits, number) = number(value)?;
            (free && value.len() < rest.len()).then_some((
                at,
                lower.len() - value.len() + digits,
                number,
            ))
        })
    })
}

/// The cause that a text begins with, decimal or with `0x`, and its length.
fn number(text: &str) -> Option<(usize, u8)> {
    let length = text.bytes().take_while(u8::is_ascii_alphanumeric).count();
    let (word, behind) = text.split_at(length);
    let number = match word.strip_prefix("0x") {
        Some(hex) => u8::from_str_radix(hex, 16).ok(),
        None => word.bytes().all(|b| b.is_ascii_digit()).then(|| word.parse().ok()).flatten(),
    };
    let decimals =
        behind.strip_prefix('.').is_some_and(|r| r.starts_with(|c: char| c.is_alphanumeric()));
    number.filter(|_| !decimals).map(|number| (length, number))
}

/// The number behind a label: where label and number begin and end, and the number.
fn numbered(lower: &str) -> Option<(usize, usize, u8)> {
    LABELS.iter().find_map(|label| {
        lower.match_indices(label).find_map(|(at, _)| {
            if lower[..at].ends_with("be") {
                return None;
            }
            let mut rest = behind_type(&lower[at + label.len()..]);
            for word in ["cause", "code", "value", "number", "no", "is", "with"] {
                let bare = rest.trim_start_matches([' ', ':', '=', '#', '_', '"', '(', '[', '.']);
                rest = bare.strip_prefix(word).unwrap_or(bare);
            }
            let rest = rest.trim_start_matches([' ', ':', '=', '#', '_', '"', '(', '[', '.']);
            let (digits, number) = number(rest)?;
            let end = lower.len() - rest.len() + digits;
            // A label and a number far apart belong to different things.
            (end - at <= 28).then_some((at, end, number))
        })
    })
}

/// What stands behind the type of a reason: `: 3gpp, 33`, ` type 3gpp (6), 33`.
fn behind_type(rest: &str) -> &str {
    let marks = [' ', ':', '=', '[', '(', '"'];
    let bare = rest.trim_start_matches(marks);
    let bare = bare.strip_prefix("type").unwrap_or(bare).trim_start_matches(marks);
    let Some(behind) = bare.strip_prefix("3gpp") else { return rest };
    let number = behind.trim_start_matches([' ', '(', ']']);
    let digits = number.trim_start_matches(|c: char| c.is_ascii_digit());
    let behind = digits.strip_prefix(')').unwrap_or(behind);
    behind.trim_start_matches([' ', ',', ']', ')'])
}

/// The list that a line names, or that the refused procedure uses.
fn list(lower: &str) -> Option<CauseList> {
    let words: Vec<&str> = lower.split(|c: char| !c.is_ascii_alphanumeric()).collect();
    let named = words.iter().rev().find_map(|word| {
        Some(match *word {
            "emm" => CauseList::Emm,
            "esm" => CauseList::Esm,
            "gmm" => CauseList::Gmm,
            "mm" => CauseList::Mm,
            "sm" => CauseList::Sm,
            "5gmm" => CauseList::FiveGmm,
            "5gsm" => CauseList::FiveGsm,
            _ => return None,
        })
    });
    let has =
        |stems: &[&str]| words.iter().any(|word| stems.iter().any(|stem| word.starts_with(stem)));
    if named.is_some() {
        return named;
    }
    let other =
        ["call", "sip", "sms", "message", "http", "mqtt", "tls", "server", "firewall", "socket"];
    // Of type 3GPP the reason for the end of a packet call is a cause of session management.
    if words.contains(&"3gpp") && has(&["reason", "end"]) {
        return Some(CauseList::Esm);
    }
    if has(&other) {
        return None;
    }
    if has(&["pdn", "pdp", "session", "context", "bearer", "activat"]) {
        return Some(CauseList::Esm);
    }
    let refused = ["attach", "regist", "reject", "denied", "tau", "tracking"];
    has(&refused).then_some(CauseList::Emm)
}

#[cfg(test)]
mod tests {
    use super::super::voice;
    use super::*;
    use crate::case::Fact;

    fn cause(line: &str) -> Option<(CauseList, u8)> {
        let mut facts = Facts::default();
        read(line, &line.to_ascii_lowercase(), voice::of(line), 0, &mut facts);
        facts.drain().find_map(|(fact, _)| match fact {
            Fact::Reject(r) => Some((r.kind, r.cause)),
            _ => None,
        })
    }

    #[test]
    fn a_number_counts_with_its_list_or_procedure() {
        assert_eq!(cause("ATTACH REJECT, EMM cause: 7"), Some((CauseList::Emm, 7)));
        assert_eq!(cause("registration denied, reject_cause=15"), Some((CauseList::Emm, 15)));
        assert_eq!(cause("ESM cause 27 - missing or unknown APN"), Some((CauseList::Esm, 27)));
        assert_eq!(cause("PDN connect failed (cause 33)"), Some((CauseList::Esm, 33)));
        assert_eq!(cause("PDP activation reject cause #29"), Some((CauseList::Esm, 29)));
        assert_eq!(cause("08:12:05 wan: REJ emm=22 T3346=900s"), Some((CauseList::Emm, 22)));
        assert_eq!(cause("session 2 rejected: esm 32 not supported"), Some((CauseList::Esm, 32)));
        for line in [
            r#"{"event":"pdp_rejected","esm":27}"#,
            r#"{"cause": 27, "event": "session_refused"}"#,
            "uplink: packet call ended, reason type 3gpp, reason 27 unknown-apn",
            "verbose call end reason: [3gpp] cause 27",
            "end reason: 3gpp, 27 (unknown-apn)",
            "call end reason type=3gpp (6), 27",
        ] {
            assert_eq!(cause(line), Some((CauseList::Esm, 27)), "{line}");
        }
    }

    #[test]
    fn other_numbers_are_none() {
        for line in [
            "call ended, cause 16",
            "because 7 of them failed to attach",
            "If you see EMM cause 7 call us",
            "we do not see attach reject cause 10 any more",
            "attach reject cause 999",
            "does EMM cause 15 mean the band?",
        ] {
            assert_eq!(cause(line), None, "{line}");
        }
    }
}
