//! Whether a phrase in a sentence is stated of this modem now.
//!
//! The first of these that fits counts: a range or a list of what may come, a question, a condition or wish, a guess,
//! a quotation, a negation, something past, another device, hearsay. The signs are looked for in the clause in which
//! the phrase stands, and those of conditions in the clauses before it in the same sentence, too.

use crate::reference::word_lists::{List, words_of};

use super::voice;
use crate::case::ReportedBy;
use std::ops::Range;

/// How a phrase stands in its sentence.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Polarity {
    /// It is so, of this modem, now.
    Stated,
    /// It is not so.
    Negated,
    /// Asked, assumed, wished, guessed, quoted or heard.
    Hypothetical,
    /// It was so.
    Past,
    /// Of another device, card or person.
    Other,
}

/// How the phrase at `start..end` of a line stands there.
pub(super) fn of(line: &str, start: usize, end: usize, by: ReportedBy) -> Polarity {
    judge(line, start, end, by, true)
}

/// The same for a phrase that is a denial itself, as `no response` is.
pub(super) fn of_denial(line: &str, start: usize, end: usize, by: ReportedBy) -> Polarity {
    judge(line, start, end, by, false)
}

fn judge(line: &str, start: usize, end: usize, by: ReportedBy, may_deny: bool) -> Polarity {
    let line = &*without_command_marks(line);
    if is_listing(line, start, end) {
        return Polarity::Hypothetical;
    }
    let clause = clause(line, start, end, &BREAKS);
    let before = words(&line[clause.start..start]);
    let behind = words(&line[end..clause.end]);
    let next = behind.split(' ').next().unwrap_or("");
    // `no SIM problem`, `no SIM lock`: the phrase goes on and names another thing.
    if is_denied_noun(&line[start..end]) && words_of(List::GoesOn).contains(&next) {
        return Polarity::Hypothetical;
    }
    // `session open failed`: what was tried, and did not come about.
    if may_deny && matches!(next, "failed" | "fails" | "unsuccessful") {
        return Polarity::Negated;
    }
    if by == ReportedBy::Host {
        // `SIM failure?`: a log that asks states nothing; a kernel's own messages end so, too.
        let asks = line.trim_end().ends_with('?') || line[end..].starts_with('?');
        if asks && !voice::is_kernel(line) {
            return Polarity::Hypothetical;
        }
        return of_log(line, &line[clause.start..start], &behind, may_deny);
    }
    let sentence = words(&line[sentence_start(line, start)..start]);
    if is_question(line, &clause, &sentence) {
        return Polarity::Hypothetical;
    }
    let around = format!("{before} {behind}");
    if has(&sentence, words_of(List::Plan)) && !has(&before, &["since", "because"])
        || has(&behind, &["if", "would", "when the"])
    {
        return Polarity::Hypothetical;
    }
    if has(&around, words_of(List::Guess))
        || has(&sentence, words_of(List::Guess))
        || has(&around, words_of(List::Quotation))
        || line.trim_start().starts_with("> >")
    {
        return Polarity::Hypothetical;
    }
    if may_deny && is_denied(&before, &behind) {
        return Polarity::Negated;
    }
    if has(&around, words_of(List::Other)) && !has(&around, words_of(List::ThisOne)) {
        return Polarity::Other;
    }
    if (has(&around, words_of(List::Over)) || has(&around, words_of(List::PastTime)))
        && !has(&around, words_of(List::Still))
    {
        return Polarity::Past;
    }
    Polarity::Stated
}

/// Whether a response that a person writes into a sentence is one of this modem now.
///
/// Its text is the modem's own, so that words of a guess or an explanation around it take nothing away: `it seems to
/// stay at +CEREG: 0,2, which means searching`. What counts are a condition or wish before it, a manual, a denial right
/// before it, the past, and another device.
pub(crate) fn states_response(line: &str, place: Range<usize>) -> bool {
    let (start, end) = (place.start.min(line.len()), place.end.min(line.len()));
    let clause = clause(line, start, end, &RESPONSE_BREAKS);
    let before = words(&line[clause.start..start]);
    let behind = words(&line[end..clause.end]);
    let near = before.rmatch_indices(' ').nth(2).map_or(0, |(at, _)| at + 1);
    let last = before.rsplit(' ').next().unwrap_or("");
    let conditional =
        has(&before, words_of(List::Condition)) && !has(&before, words_of(List::Trial));
    let denied = has(&before[near..], words_of(List::DenialNear))
        || ["no", "without", "nor"].contains(&last)
        || has(&behind, &["any more", "anymore", "no longer", "is gone", "never comes"]);
    let past =
        |words| has(words, words_of(List::PastTime)) && !has(words, &["still", "again", "always"]);
    let elsewhere = |words| past(words) || other_device(words);
    let hypothetical = conditional || has(&before, words_of(List::Book));
    !(hypothetical || denied || elsewhere(&before) || elsewhere(&behind))
}

/// Whether words speak of another device: `my other board`, `the second one`.
fn other_device(words: &str) -> bool {
    let words: Vec<&str> = words.split(' ').collect();
    let noun = |word: &&str| words_of(List::DeviceNoun).contains(word);
    let here = words.windows(2).any(|pair| pair[0] == "this" && noun(&pair[1]));
    let other = words.iter().enumerate().any(|(at, word)| {
        words_of(List::OtherAdjective).contains(word) && words[at + 1..].iter().take(2).any(noun)
    });
    other && !here
}

/// The mark of a read command (`+CREG?`) ends no sentence; a blank of the same length stands in its place.
fn without_command_marks(line: &str) -> std::borrow::Cow<'_, str> {
    if !line.contains('?') {
        return line.into();
    }
    let mut out = line.to_owned();
    for (at, _) in line.match_indices('?') {
        let name = line[..at].rsplit(|c: char| !c.is_ascii_alphanumeric()).next().unwrap_or("");
        let sign = line[..at - name.len()].ends_with(['+', '^', '%', '#', '!', '$', '*', '=']);
        if sign && !name.bytes().any(|b| b.is_ascii_lowercase()) {
            out.replace_range(at..=at, " ");
        }
    }
    out.into()
}

/// In logs and listings a label, a mark and a value state; a negation right before denies.
fn of_log(line: &str, before: &str, behind: &str, may_deny: bool) -> Polarity {
    let part = words(before.rsplit([',', '|']).next().unwrap_or(before));
    let near: Vec<&str> = part.split(' ').rev().take(3).collect();
    let denies = ["not", "no", "without", "isn't", "never", "neither", "nor"];
    if may_deny && (near.iter().any(|word| denies.contains(word)) || has(&part, &["ruled out"])) {
        return Polarity::Negated;
    }
    let all = words(line);
    if has(&all, &["wi-fi", "wifi", "wireless lan", "wlan", "bluetooth", "ethernet"]) {
        return Polarity::Other;
    }
    let expects =
        ["if", "unless", "expect", "expected", "abort on", "waiting for", "wait for", "in case"];
    let before = words(before);
    let last = before.rsplit(' ').next().unwrap_or("");
    if matches!(last, "until" | "after" | "before" | "till")
        || has(&before, &["should", "would"])
        || has(&before, &expects)
        || has(behind, &["if"])
        || has(&before, words_of(List::Guess))
    {
        return Polarity::Hypothetical;
    }
    Polarity::Stated
}

/// Whether a phrase is a denial and a noun, and no more: `no SIM`, `no modem`.
fn is_denied_noun(phrase: &str) -> bool {
    let mut words = phrase.split_whitespace();
    words.next().is_some_and(|w| w.eq_ignore_ascii_case("no")) && words.count() == 1
}

struct Clause {
    start: usize,
    end: usize,
}

/// What ends a clause; around a response a sentence has no labels, and other verbs part it.
const BREAKS: [&str; 9] =
    [". ", "; ", ": ", "! ", "? ", " but ", " however", " although ", ", now "];
const RESPONSE_BREAKS: [&str; 10] =
    [". ", "; ", "! ", "? ", " but ", " however", " although ", ", now ", " got ", " instead "];

/// The clause around a phrase: from the last of the breaks up to the next one.
fn clause(line: &str, start: usize, end: usize, breaks: &[&str]) -> Clause {
    let lower = line.to_ascii_lowercase();
    let ends = breaks.iter().filter_map(|m| lower[..start].rfind(m).map(|at| at + m.len()));
    let begin = ends.max().unwrap_or(0);
    let stop = breaks.iter().filter_map(|mark| lower[end..].find(mark)).min();
    let stop = stop.map_or(line.len(), |at| end + at + 1);
    // A label that denies or assumes belongs to what it introduces: `Ruled out: …`, `Expected: …`.
    let label = lower[..begin].strip_suffix(": ").and_then(|text| {
        words_of(List::LabelOfDoubt)
            .iter()
            .find(|label| text.ends_with(*label))
            .map(|label| text.len() - label.len())
    });
    let begin = label.unwrap_or(begin);
    Clause { start: begin.min(start), end: stop.max(end) }
}

/// Where the sentence of a phrase begins.
fn sentence_start(line: &str, start: usize) -> usize {
    [". ", "! ", "? ", "; "]
        .iter()
        .filter_map(|mark| line[..start].rfind(mark).map(|at| at + mark.len()))
        .max()
        .unwrap_or(0)
}

/// The words of a text in lower case, one blank between them; apostrophes stay inside.
fn words(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\u{2019}' => out.push('\''),
            c if c.is_alphanumeric() || matches!(c, '\'' | '-') => out.extend(c.to_lowercase()),
            _ if out.is_empty() || out.ends_with(' ') => {}
            _ => out.push(' '),
        }
    }
    out.truncate(out.trim_end().len());
    // "could not" tells of a failure, not of a possibility; another program is no other device.
    for (said, meant) in [
        ("could not", "couldn't"),
        ("can not", "cannot"),
        ("another p", "a p"),
        ("other p", "p"),
        ("another instance", "an instance"),
    ] {
        if out.contains(said) {
            out = out.replace(said, meant);
        }
    }
    out
}

/// Whether one of the phrases stands among the words.
fn has(words: &str, phrases: &[&str]) -> bool {
    let words = words.as_bytes();
    let starts = std::iter::once(0).chain(memchr::memchr_iter(b' ', words).map(|at| at + 1));
    starts.map(|at| &words[at..]).any(|rest| {
        phrases.iter().any(|phrase| {
            rest.first() == phrase.as_bytes().first()
                && rest.starts_with(phrase.as_bytes())
                && rest.get(phrase.len()).is_none_or(|b| *b == b' ')
        })
    })
}

/// A denial before the phrase, or right behind it; two of them state nothing, which counts as denied, too.
fn is_denied(before: &str, behind: &str) -> bool {
    // `nothing but`, `not only`: no denial.
    let but = has(before, &["nothing but", "not only", "nothing else than"]);
    !but && has(before, words_of(List::Negation))
        || has(behind, words_of(List::DeniedBehind))
        || before.ends_with("n't")
}

fn is_question(line: &str, clause: &Clause, sentence: &str) -> bool {
    let rest = &line[line.floor_char_boundary(clause.end.saturating_sub(1))..];
    let stop = rest.find(['.', '!', '?', ';']);
    let asked = stop.is_some_and(|at| rest[at..].starts_with('?'));
    // A reason that is asked for keeps the state: "why is it denied?".
    let reason =
        sentence.starts_with("why") || has(sentence, &["why is", "why does", "why do", "reason"]);
    let first = sentence.split(' ').find(|word| !["and", "so", "but", "or", "then"].contains(word));
    let opens = first.is_some_and(|word| words_of(List::Question).contains(&word));
    // `not inserted or what?`: a tag asks whatever stands before it.
    let tagged = || {
        let whole = words(&rest[..stop.unwrap_or(0)]);
        let asked = format!("{} {whole}", words(&line[clause.start..line.len() - rest.len()]));
        let ends = |tag: &&str| {
            asked.trim_end().strip_suffix(*tag).is_some_and(|head| head.ends_with(' '))
        };
        words_of(List::QuestionTag).iter().any(ends)
    };
    asked && !reason && (opens || tagged())
}

/// A list of what may come: a bracket with several values, or states with their numbers in a row.
fn is_listing(line: &str, start: usize, end: usize) -> bool {
    let open = line[..start].rfind('(');
    let bracketed = open.is_some_and(|at| {
        let inside = &line[at..];
        let close = inside.find(')').map_or(line.len(), |c| at + c);
        close >= end && !line[at..start].contains(')') && lists(&line[at..close.min(line.len())])
    });
    if bracketed {
        return true;
    }
    // `0 not registered, 1 registered, 2 searching`: numbers in rising order, each before words.
    let mut expected = None;
    let mut rising = 0;
    for part in line.split([',', ';', '|', '/']) {
        let part = part.trim_start_matches([' ', '(', '"']);
        let digits = part.bytes().take_while(u8::is_ascii_digit).count();
        let number: Option<u32> = part[..digits].parse().ok();
        let words = part[digits..]
            .trim_start_matches([' ', '=', ':', '-', ')'])
            .starts_with(char::is_alphabetic);
        match number.filter(|_| words) {
            Some(n) if expected.is_none_or(|e| n >= e) => {
                rising += 1;
                expected = Some(n + 1);
            }
            _ => {}
        }
    }
    rising >= 3 || line.contains("on/off") || line.contains("yes/no")
}

/// Whether a bracket holds several values: `("READY","SIM PIN")`, `(0-5)`, `(0,1,4)`.
fn lists(bracket: &str) -> bool {
    let inner = bracket.trim_start_matches('(');
    bracket.contains("\",") || {
        let numbers =
            inner.split([',', '-']).take_while(|n| n.trim().parse::<u8>().is_ok()).count();
        numbers >= 2
    }
}

#[cfg(test)]
mod tests;
