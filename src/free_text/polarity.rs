//! Whether a phrase in a sentence is stated of this modem now.
//!
//! The first of these that fits counts: a range or a list of what may come, a question, a condition or wish, a guess,
//! a quotation, a negation, something past, another device, hearsay. The signs are looked for in the clause in which
//! the phrase stands, and those of conditions in the clauses before it in the same sentence, too.

use crate::case::ReportedBy;

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

/// Words of a condition, a wish or a plan.
const CONDITIONS: [&str; 35] = [
    "if",
    "unless",
    "until",
    "in case",
    "once",
    "would",
    "should",
    "could",
    "may",
    "might",
    "must be",
    "will",
    "i want",
    "we want",
    "want it",
    "want the",
    "want to",
    "wants to",
    "hope",
    "hoping",
    "expect",
    "expected",
    "expecting",
    "supposed",
    "need it",
    "trying to",
    "try to",
    "wait for",
    "waiting for",
    "to be",
    "so that",
    "before it can",
    "whether",
    "when",
    "whenever",
];

/// Words of a guess.
const GUESSES: [&str; 16] = [
    "maybe",
    "perhaps",
    "possibly",
    "probably",
    "i think",
    "i guess",
    "looks like",
    "seems",
    "seem",
    "as if",
    "could be",
    "suspect",
    "sounds like",
    "i believe",
    "presumably",
    "wondering",
];

/// Words of a quotation, a definition or hearsay.
const QUOTATIONS: [&str; 37] = [
    "means",
    "mean",
    "stands for",
    "is returned",
    "indicates that",
    "according to",
    "manual",
    "datasheet",
    "data sheet",
    "documentation",
    "forum",
    "for example",
    "e g",
    "such as",
    "list of",
    "the standard says",
    "they said",
    "support says",
    "support said",
    "claims",
    "claim",
    "i read",
    "someone wrote",
    "supposedly",
    "defined as",
    "possible values",
    "says that",
    "told me",
    "tells me that my",
    "i searched",
    "searched for",
    "usually",
    "typically",
    "example of",
    "the docs",
    "explains",
    "described as",
];

/// Words that deny what follows.
const NEGATIONS: [&str; 34] = [
    "no",
    "not",
    "never",
    "none",
    "neither",
    "nor",
    "without",
    "no longer",
    "no sign of",
    "ruled out",
    "instead of",
    "rather than",
    "other than",
    "free of",
    "lacks",
    "fails to",
    "far from",
    "apart from",
    "cannot",
    "isn't",
    "wasn't",
    "doesn't",
    "don't",
    "didn't",
    "aren't",
    "weren't",
    "hasn't",
    "haven't",
    "can't",
    "won't",
    "isnt",
    "doesnt",
    "nothing",
    "excluded",
];

/// Words that deny what stands before them.
const DENIED_BEHIND: [&str; 8] = [
    "is ruled out",
    "was ruled out",
    "is not the case",
    "is gone",
    "does not occur",
    "doesn't occur",
    "not any more",
    "any more",
];

/// Words of what is over.
const PAST: [&str; 33] = [
    "was",
    "were",
    "had",
    "used to",
    "previously",
    "earlier",
    "yesterday",
    "last week",
    "last month",
    "last year",
    "until the update",
    "before i",
    "before we",
    "before the",
    "at first",
    "in the beginning",
    "fixed",
    "solved",
    "resolved",
    "went away",
    "gone now",
    "is over",
    "days ago",
    "weeks ago",
    "hours ago",
    "initially",
    "formerly",
    "last time",
    "once had",
    "the old days",
    "sometimes",
    "occasionally",
    "at times",
];

/// Words that keep the past present.
const STILL: [&str; 6] = ["still", "since", "again", "always", "every time", "each time"];

/// Words of another device, card or subject.
const OTHERS: [&str; 45] = [
    "other",
    "another",
    "second",
    "spare",
    "neighbour's",
    "neighbor's",
    "neighbour",
    "neighbor",
    "colleague's",
    "colleague",
    "friend's",
    "friend",
    "my phone",
    "the phone",
    "a phone",
    "our phone",
    "phones",
    "in my phone",
    "bench unit",
    "working one",
    "unit 2",
    "same card in",
    "same sim in",
    "wi-fi",
    "wifi",
    "wireless lan",
    "wlan",
    "bluetooth",
    "ethernet",
    "server",
    "broker",
    "vpn",
    "gps",
    "old modem",
    "old one",
    "old card",
    "old sim",
    "router's",
    "smartphone",
    "handset",
    "website",
    "their",
    "somebody",
    "someone's",
    "tablet",
];

/// Words that come back to this modem.
const THIS_ONE: [&str; 6] = ["this one", "here", "ours", "mine", "this modem", "this board"];

/// Words that open a question.
const QUESTIONS: [&str; 16] = [
    "is", "are", "does", "did", "can", "could", "should", "what", "how", "whether", "do", "has",
    "have", "was", "would", "will",
];

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
    let clause = clause(line, start, end);
    let before = words(&line[clause.start..start]);
    let behind = words(&line[end..clause.end]);
    if by == ReportedBy::Host {
        return of_log(line, &line[clause.start..start], &behind, may_deny);
    }
    let sentence = words(&line[sentence_start(line, start)..start]);
    if is_question(line, &clause, &sentence) {
        return Polarity::Hypothetical;
    }
    let around = format!("{before} {behind}");
    if has(&sentence, &CONDITIONS) && !has(&before, &["since", "because"])
        || has(&behind, &["if", "would", "when the"])
    {
        return Polarity::Hypothetical;
    }
    if has(&around, &GUESSES)
        || has(&sentence, &GUESSES)
        || has(&around, &QUOTATIONS)
        || line.trim_start().starts_with("> >")
    {
        return Polarity::Hypothetical;
    }
    if may_deny && is_denied(&before, &behind) {
        return Polarity::Negated;
    }
    if has(&around, &OTHERS) && !has(&around, &THIS_ONE) {
        return Polarity::Other;
    }
    if has(&around, &PAST) && !has(&around, &STILL) {
        return Polarity::Past;
    }
    Polarity::Stated
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
    if has(&before, &["should", "would"])
        || has(&before, &expects)
        || has(behind, &["if"])
        || has(&before, &GUESSES)
    {
        return Polarity::Hypothetical;
    }
    Polarity::Stated
}

/// Labels that deny or assume what they introduce.
const LABELS: [&str; 7] =
    ["expected", "ruled out", "excluded", "for example", "e.g.", "maybe", "perhaps"];

struct Clause {
    start: usize,
    end: usize,
}

/// The clause around a phrase: from the last sentence mark or `but` up to the next one.
fn clause(line: &str, start: usize, end: usize) -> Clause {
    const BREAKS: [&str; 9] =
        [". ", "; ", ": ", "! ", "? ", " but ", " however", " although ", ", now "];
    let lower = line.to_ascii_lowercase();
    let begin = BREAKS
        .iter()
        .filter_map(|mark| lower[..start].rfind(mark).map(|at| at + mark.len()))
        .max()
        .unwrap_or(0);
    let stop = BREAKS
        .iter()
        .filter_map(|mark| lower[end..].find(mark).map(|at| end + at + 1))
        .min()
        .unwrap_or(line.len());
    // A label that denies or assumes belongs to what it introduces: `Ruled out: …`, `Expected: …`.
    let label = lower[..begin].strip_suffix(": ").and_then(|text| {
        LABELS.iter().find(|label| text.ends_with(*label)).map(|label| text.len() - label.len())
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
    // "could not" tells of a failure, not of a possibility.
    // Another program is no other device.
    let out = out.trim_end().replace("could not", "couldn't").replace("can not", "cannot");
    out.replace("another p", "a p")
        .replace("other p", "p")
        .replace("another instance", "an instance")
}

/// Whether one of the phrases stands among the words.
fn has(words: &str, phrases: &[&str]) -> bool {
    phrases.iter().any(|phrase| {
        words.match_indices(phrase).any(|(at, _)| {
            (at == 0 || words.as_bytes()[at - 1] == b' ')
                && words.as_bytes().get(at + phrase.len()).is_none_or(|b| *b == b' ')
        })
    })
}

/// A denial before the phrase, or right behind it; two of them state nothing, which counts as denied, too.
fn is_denied(before: &str, behind: &str) -> bool {
    // `nothing but`, `not only`: no denial.
    let but = has(before, &["nothing but", "not only", "nothing else than"]);
    !but && has(before, &NEGATIONS) || has(behind, &DENIED_BEHIND) || before.ends_with("n't")
}

fn is_question(line: &str, clause: &Clause, sentence: &str) -> bool {
    let rest = &line[line.floor_char_boundary(clause.end.saturating_sub(1))..];
    let stop = rest.find(['.', '!', '?', ';']);
    let asked = stop.is_some_and(|at| rest[at..].starts_with('?'));
    // A reason that is asked for keeps the state: "why is it denied?".
    let reason =
        sentence.starts_with("why") || has(sentence, &["why is", "why does", "why do", "reason"]);
    let first = sentence.split(' ').find(|word| !["and", "so", "but", "or", "then"].contains(word));
    let opens = first.is_some_and(|word| QUESTIONS.contains(&word));
    asked && opens && !reason
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
mod tests {
    use super::*;

    /// `words | phrase | label`, one a line: made up, each for one row of the rules above.
    const SENTENCES: &str = include_str!("../../tests/sentences/polarity.txt");

    #[test]
    fn every_labelled_sentence_is_read_as_its_label_says() {
        let mut wrong = Vec::new();
        let mut count = 0;
        for row in SENTENCES.lines().filter(|l| !l.starts_with('#') && !l.trim().is_empty()) {
            let mut parts = row.split(" | ");
            let (Some(sentence), Some(phrase), Some(label)) =
                (parts.next(), parts.next(), parts.next())
            else {
                panic!("a row has three parts: {row}");
            };
            count += 1;
            let start = sentence.to_lowercase().rfind(&phrase.to_lowercase()).expect(row);
            let by = super::super::voice::of(sentence);
            let read = match of(sentence, start, start + phrase.len(), by) {
                Polarity::Stated => "stated",
                Polarity::Negated => "negated",
                Polarity::Hypothetical => "hypothetical",
                Polarity::Past => "past",
                Polarity::Other => "other",
            };
            // What is not stated is never taken; why it is not is of no consequence.
            if (read == "stated") != (label == "stated") {
                wrong.push(format!("{row}: read as {read}"));
            }
        }
        assert!(count >= 200, "{count} sentences");
        assert!(wrong.is_empty(), "{} of {count}:\n{}", wrong.len(), wrong.join("\n"));
    }
}
