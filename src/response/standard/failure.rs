//! Results that tell something: `+CME ERROR`, `+CMS ERROR`, `NO CARRIER`, and `+CEER` behind them.
//!
//! TS 27.007 §9.2, TS 27.005 §3.2.5, TS 27.007 §8.10.

use crate::case::{Cell, Fact, Facts, Failure, Quantity, Reject, Sim};
use crate::reference::causes::{CauseList, assigned, causes};
use crate::reference::errors;
use crate::response::{Family, Form, Read, Response};
use crate::span::Span;
use std::sync::LazyLock;

pub(crate) static CEER: Family = Family {
    prefixes: &["+CEER", "CEER"],
    request: "+CEER",
    source: "TS 27.007 §8.10",
    about: "why the last attempt failed (history)",
    yields: &[Quantity::RejectCause],
    read: ceer,
};

/// Words of early releases that differ from those of the table.
const EARLY: &[(u16, &str)] = &[
    (103, "illegal ms"),
    (107, "gprs services not allowed"),
    (112, "location area not allowed"),
    (113, "roaming not allowed in this location area"),
];

/// The number of an error, printed as such or in words (TS 27.007 §9.2).
fn number(text: &str) -> Option<u16> {
    let text = text.trim().trim_matches('"').trim_end_matches('.');
    let text = text.strip_prefix('(').and_then(|t| t.strip_suffix(')')).unwrap_or(text);
    if let Ok(n) = text.parse() {
        return Some(n);
    }
    let lower =
        text.to_ascii_lowercase().replace('_', " ").replace("personalisation", "personalization");
    // The standard sets the cause behind some of them: `... not subscribed (#33)`; some modems, and
    // people, set the number behind the words.
    let is_number = |behind: &str| {
        let digits = behind.trim_end_matches(')').trim_start_matches('#');
        !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit())
    };
    let lower = match lower.split_once(" (") {
        Some((words, behind)) if is_number(behind) => words,
        _ => &lower,
    };
    let early = EARLY.iter().find(|(_, words)| *words == lower).map(|(n, _)| *n);
    early.or_else(|| errors::cme_in_words(lower).map(|e| e.number))
}

/// Whether the number or the words of an error stand in a table.
pub(crate) fn is_known(list: &str, text: &str) -> bool {
    let words = text.to_ascii_lowercase();
    match number(text) {
        Some(n) if list.eq_ignore_ascii_case("CMS") => errors::cms(n).is_some(),
        Some(n) => errors::cme(n).is_some(),
        // Of these words `failed` makes a fact.
        None => words.contains("profile"),
    }
}

/// Whether an error that ends with the text may be the beginning of another: a number with which another of the tables
/// begins, or words that no table has.
pub(crate) fn may_go_on(list: &str, text: &str) -> bool {
    let text = text.trim();
    let is_error = |n: u16| {
        if list.eq_ignore_ascii_case("CMS") {
            errors::cms(n).is_some()
        } else {
            errors::cme(n).is_some()
        }
    };
    match text.parse::<u16>() {
        Ok(n @ 1..=99) => (n * 10..n * 10 + 10).chain(n * 100..n * 100 + 100).any(is_error),
        Ok(_) => false,
        Err(_) => number(text).is_none(),
    }
}

/// The network's cause that an error stands for (TS 27.007 §9.2.2): of a session only where the
/// command has to do with one, because makers give these numbers to other things, too.
fn cause_of(error: u16, command: &str) -> Option<(CauseList, u8)> {
    let (list, cause) = errors::cme(error)?.cause.split_once(' ')?;
    let cause = cause.parse().ok()?;
    let kind = match CauseList::named(list)? {
        // The clause gives one number for both lists; where GMM leaves it out EMM is meant.
        CauseList::Emm if assigned(CauseList::Gmm, cause).is_some() => CauseList::Gmm,
        kind => kind,
    };
    let upper = command.to_ascii_uppercase();
    let of_session = command.is_empty()
        || crate::response::outcome::opens_session(command)
        || ["+CGACT", "+CGATT", "+CGDATA", "+COPS"].iter().any(|c| upper.starts_with(c));
    let everywhere = !kind.is_session() && kind != CauseList::FiveGmm;
    (everywhere || of_session).then_some((kind, cause))
}

/// Notes a command that ended badly, and what its error says of card or network.
pub(crate) fn failed(command: &str, list: &str, text: &str, span: Span, facts: &mut Facts) {
    let n = number(text);
    let cms = list.eq_ignore_ascii_case("CMS");
    facts.push(
        Fact::Failed(Failure {
            command: command.to_owned(),
            cme: n.filter(|_| !cms),
            cms: n.filter(|_| cms),
        }),
        span,
    );
    let sim = match (cms, n) {
        (false, Some(10)) | (true, Some(310)) => Sim::NotInserted,
        (false, Some(11)) | (true, Some(311)) => Sim::PinRequired,
        (false, Some(12)) | (true, Some(316)) => Sim::PukRequired,
        (false, Some(13)) | (true, Some(313)) => Sim::Failure,
        (false, Some(14)) | (true, Some(314)) => Sim::Busy,
        (false, Some(15)) | (true, Some(315)) => Sim::Wrong,
        (false, Some(5)) => Sim::DeviceCode,
        (false, Some(40 | 41)) => Sim::Locked(crate::case::Personalisation::Network),
        (false, Some(42 | 43)) => Sim::Locked(crate::case::Personalisation::Subset),
        (false, Some(44 | 45)) => Sim::Locked(crate::case::Personalisation::Provider),
        (false, Some(46 | 47)) => Sim::Locked(crate::case::Personalisation::Corporate),
        (false, None) if text.to_ascii_lowercase().contains("profile") => Sim::NoProfile,
        _ => {
            if let Some((kind, cause)) = n.filter(|_| !cms).and_then(|n| cause_of(n, command)) {
                facts.push(Fact::Reject(Reject { kind, cause, history: false }), span);
                facts.number(Quantity::RejectCause, f64::from(cause), Cell::Serving, span);
            }
            return;
        }
    };
    facts.push(Fact::Sim(sim), span);
}

fn ceer(reply: &Response<'_>, facts: &mut Facts) -> Read {
    // The last number of a text that was cut may be the beginning of another.
    if reply.form == Form::Test || reply.open && reply.body.ends_with(|c: char| c.is_ascii_digit())
    {
        return Read::Understood;
    }
    let causes = causes_in_words(reply.body);
    for &(kind, cause) in &causes {
        facts.push(Fact::Reject(Reject { kind, cause, history: true }), reply.span);
        facts.number(Quantity::RejectCause, f64::from(cause), Cell::Serving, reply.span);
    }
    if causes.is_empty() { Read::UnknownForm } else { Read::Understood }
}

/// Spellings of cause names that differ from those of the standards.
const SPELLINGS: &[(CauseList, u8, &str)] = &[
    (CauseList::Esm, 27, "unknown or missing apn"),
    (CauseList::Esm, 27, "unknown apn"),
    (CauseList::Esm, 29, "user authentication failed"),
    (CauseList::Esm, 38, "network failure esm"),
];

/// The cause whose name stands in a text of folded words: the longest name, since "network failure" is part of
/// "severe network failure"; of lists that share it the one of the hint, else the first of [`CauseList::ALL`].
fn named(text: &str, hint: Option<CauseList>) -> Option<(CauseList, u8)> {
    static NAMES: LazyLock<Vec<(CauseList, u8, String)>> = LazyLock::new(|| {
        let causes = CauseList::ALL.into_iter().flat_map(causes);
        let names = causes.map(|c| (c.list, c.first, folded(c.name)));
        names
            .chain(SPELLINGS.iter().map(|&(list, cause, name)| (list, cause, name.into())))
            .collect()
    });
    let inside = |name: &str| text.contains(&format!(" {name} "));
    let found = NAMES.iter().filter(|(.., name)| inside(name)).collect::<Vec<_>>();
    let longest = found.iter().map(|(.., name)| name.len()).max()?;
    let mut alike = found.into_iter().filter(|(.., name)| name.len() == longest);
    let first = alike.clone().next()?;
    let (list, cause, _) = alike.find(|(list, ..)| Some(*list) == hint).unwrap_or(first);
    // The list that the text names wins over the one that the name stands in.
    let list = hint.filter(|h| h.is_session() == list.is_session()).unwrap_or(*list);
    Some((list, *cause))
}

/// A text as words of small letters and digits, single blanks between them.
fn folded(text: &str) -> String {
    let small = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { ' ' };
    let letters: String = text.chars().map(small).collect();
    letters.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The causes that a text gives by number behind the name of their list (`EMM cause 15`), in order;
/// without any, the one that it names.
pub(crate) fn causes_in_words(text: &str) -> Vec<(CauseList, u8)> {
    let folded = folded(text);
    let words: Vec<&str> = folded.split(' ').collect();
    let kind_of = |w: &str| match w {
        "emm" => Some(CauseList::Emm),
        "esm" => Some(CauseList::Esm),
        "gmm" => Some(CauseList::Gmm),
        "mm" => Some(CauseList::Mm),
        "sm" => Some(CauseList::Sm),
        "5gmm" => Some(CauseList::FiveGmm),
        "5gsm" => Some(CauseList::FiveGsm),
        _ => None,
    };
    let mut found = Vec::new();
    for (at, word) in words.iter().enumerate() {
        let Some(kind) = kind_of(word) else { continue };
        // What stands before the name of the next list belongs to this one.
        let own = words[at + 1..].iter().take(4).take_while(|w| kind_of(w).is_none());
        let number = own.clone().find_map(|w| w.parse::<u8>().ok()).filter(|&n| n > 0);
        let near = own.clone().any(|w| matches!(*w, "cause" | "reject" | "rejected" | "error"));
        let next = words.get(at + 1).and_then(|w| w.parse::<u8>().ok()).filter(|&n| n > 0);
        let cause = number.filter(|_| near).or(next);
        found.extend(cause.map(|n| (kind, n)));
    }
    if !found.is_empty() {
        return found;
    }
    let kept: Vec<&str> = words.iter().copied().filter(|w| *w != "cause").collect();
    let joined = format!(" {} ", kept.join(" "));
    let hint = words.iter().find_map(|w| kind_of(w));
    named(&joined, hint).into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn causes_are_found_by_name_and_by_number() {
        assert_eq!(causes_in_words("EMM_CAUSE_ESM_FAILURE"), [(CauseList::Emm, 19)]);
        assert_eq!(causes_in_words("ESM cause: 27"), [(CauseList::Esm, 27)]);
        assert_eq!(causes_in_words("SM,\"Missing or unknown APN\""), [(CauseList::Sm, 27)]);
        assert!(causes_in_words("No cause information available").is_empty());
        assert!(causes_in_words("5,19,0").is_empty());
        assert!(causes_in_words("EMM detached").is_empty());
        for (text, cause) in [
            ("No EPS bearer context activated", (CauseList::Emm, 40)),
            ("CS domain not available", (CauseList::Emm, 18)),
            ("MSC temporarily not reachable", (CauseList::Emm, 16)),
            ("GPRS services not allowed in this PLMN", (CauseList::Gmm, 14)),
            ("GMM: Severe network failure", (CauseList::Gmm, 42)),
        ] {
            assert_eq!(causes_in_words(text), [cause], "{text}");
        }
        assert_eq!(
            causes_in_words("\"EMM cause\" 19 ESM 27"),
            [(CauseList::Emm, 19), (CauseList::Esm, 27)]
        );
    }

    #[test]
    fn verbose_and_numeric_errors_are_one() {
        assert_eq!(number("SIM not inserted"), Some(10));
        assert_eq!(number("10"), Some(10));
        assert_eq!(number("SIM not inserted (10)"), Some(10));
        assert_eq!(number("(SIM failure)"), Some(13));
        assert_eq!(number("requested service option not subscribed (#33)"), Some(133));
        assert_eq!(number("something new"), None);
        assert_eq!(number("SIM not inserted (yet)"), None);
    }
}
