//! Line ends that were lost: a session that a chat or a form has put into one line.
//!
//! ```text
//! > AT+CPIN? +CPIN: READY OK > AT+CREG? +CREG: 0,3 OK        12:00:01 AT+CSQ 12:00:01 +CSQ: 17,99
//! ```
//!
//! A line is cut where its times stand, where it has several; else before each command, reply and
//! result, where these are about as many as the other words: a sentence about a session is none.

use super::mapped::{Edits, lines};
use super::stamp;

/// A shorter line is none of several lines.
const SHORT: usize = 40;
/// So many commands, replies and results make a session.
const SESSION: usize = 5;
/// So many times in one line are those of several lines.
const TIMES: usize = 3;

/// Puts lost line ends back.
pub(super) fn restore(text: &str, edits: &mut Edits<'_>) {
    for line in lines(text).filter(|line| line.len() >= SHORT) {
        if may_be_session(&text.as_bytes()[line.clone()]) {
            for at in ends(&text[line.clone()]) {
                edits.insert(line.start + at, "\n");
            }
        }
    }
}

/// Whether a line has signs and blanks enough for several commands and replies.
fn may_be_session(line: &[u8]) -> bool {
    memchr::memchr3(b'+', b'^', b'%', line).is_some()
        && memchr::memchr_iter(b' ', line).count() >= SESSION - 1
}

/// What a word of a line is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Word {
    /// `AT`, `AT+CSQ`, `+CSQ:`, `RDY`: a line begins here.
    Begins,
    /// `OK`, `ERROR`: a line of its own.
    Alone,
    /// A date or a time of day.
    Time,
    /// A quote mark, an arrow, a bullet: it belongs to what follows.
    Mark,
    /// Anything else.
    Other,
}

/// Where line ends belong into a line.
fn ends(line: &str) -> Vec<usize> {
    let mut words: Vec<(usize, Word)> = Vec::new();
    let mut before = "";
    for word in line.split_ascii_whitespace() {
        let at = word.as_ptr() as usize - line.as_ptr() as usize;
        let next = &line[at + word.len()..];
        words.push((at, kind(word, before, next)));
        before = word;
    }
    let count = |wanted: Word| words.iter().filter(|(_, kind)| *kind == wanted).count();
    let session = count(Word::Begins) + count(Word::Alone);
    if count(Word::Time) >= TIMES && session >= TIMES {
        return begins(&words, Word::Time);
    }
    let (begun, results) = (count(Word::Begins), count(Word::Alone));
    // A list with marks holds more words of people than a dialogue does.
    let words_at_most = if count(Word::Mark) >= SESSION { 4 } else { 2 } * session;
    let dialogue = begun >= 2 && results >= 2 || begun > SESSION;
    if session < SESSION || !dialogue || count(Word::Other) > words_at_most {
        return Vec::new();
    }
    let mut found = begins(&words, Word::Begins);
    for (n, (at, kind)) in words.iter().enumerate() {
        if *kind == Word::Alone {
            found.push(first_mark(&words, n).unwrap_or(*at));
            // What stands behind a result begins a line of its own.
            found.extend(words.get(n + 1).map(|(next, _)| *next));
        }
    }
    found.retain(|at| *at > 0);
    found.sort_unstable();
    found.dedup();
    found
}

/// Before each word of a kind, and before the marks that belong to it.
fn begins(words: &[(usize, Word)], wanted: Word) -> Vec<usize> {
    let mut found = Vec::new();
    for (n, (at, kind)) in words.iter().enumerate() {
        let follows = n > 0 && words[n - 1].1 == Word::Time;
        if *kind == wanted && *at > 0 && !(wanted == Word::Time && follows) {
            found.push(first_mark(words, n).unwrap_or(*at));
        }
    }
    found
}

/// The first of the marks directly before a word.
fn first_mark(words: &[(usize, Word)], n: usize) -> Option<usize> {
    let marks = words[..n].iter().rev().take_while(|(_, kind)| *kind == Word::Mark);
    marks.last().map(|(at, _)| *at)
}

fn kind(word: &str, before: &str, next: &str) -> Word {
    if matches!(word, ">" | ">>" | "|" | "-" | "•" | "->" | "<-" | "-->" | "<--" | "<") {
        return Word::Mark;
    }
    let error = before.eq_ignore_ascii_case("+CME") || before.eq_ignore_ascii_case("+CMS");
    if matches!(word, "OK" | "ERROR") && !error {
        return Word::Alone;
    }
    let ready = |w: &str| next.trim_start().starts_with("Ready") && word == w;
    // The number of a card, a subscriber or a device answers without a header.
    let number = word.len() >= 14 && word.bytes().all(|b| b.is_ascii_digit());
    if number || matches!(word, "AT" | "RDY") || ready("Call") || ready("SMS") {
        return Word::Begins;
    }
    let name = |rest: &str| {
        rest.bytes().take_while(|b| b.is_ascii_uppercase() || b.is_ascii_digit()).count()
    };
    if let Some(rest) =
        word.strip_prefix("AT").and_then(|r| r.strip_prefix(['+', '^', '%', '#', '!', '$']))
    {
        return if name(rest) >= 2 { Word::Begins } else { Word::Other };
    }
    if let Some(rest) = word.strip_prefix(['+', '^', '%', '#', '!', '$']) {
        let len = name(rest);
        let replies = len >= 2 && (rest[len..].starts_with(':') || matches!(word, "+CME" | "+CMS"));
        return if replies { Word::Begins } else { Word::Other };
    }
    let date = word.len() == 10
        && word.bytes().filter(|b| matches!(b, b'-' | b'/')).count() == 2
        && word.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'-' | b'/'));
    if date || stamp::find(word).is_some() {
        return Word::Time;
    }
    Word::Other
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::mapped::MappedText;

    fn restored(text: &str) -> Vec<String> {
        let mapped = MappedText::original(text).edited(restore);
        mapped.text().lines().map(|l| l.trim().to_owned()).collect()
    }

    #[test]
    fn a_session_in_one_line_gets_its_lines_back() {
        assert_eq!(
            restored("RDY +CFUN: 1 +CPIN: READY Call Ready SMS Ready AT+CREG? +CREG: 0,2 OK AT OK"),
            [
                "RDY",
                "+CFUN: 1",
                "+CPIN: READY",
                "Call Ready",
                "SMS Ready",
                "AT+CREG?",
                "+CREG: 0,2",
                "OK",
                "AT",
                "OK"
            ]
        );
        assert_eq!(
            restored(
                "Result : > AT > > OK > AT+CMEE=2 > > OK > AT+CPIN? > > +CME ERROR: SIM not inserted"
            ),
            [
                "Result :",
                "> AT",
                "> > OK",
                "> AT+CMEE=2",
                "> > OK",
                "> AT+CPIN?",
                "> > +CME ERROR: SIM not inserted"
            ]
        );
    }

    #[test]
    fn times_cut_a_line_before_them() {
        assert_eq!(
            restored(
                "2026-03-02 07:14:01.120 TX: AT+CSQ 2026-03-02 07:14:01.144 RX: +CSQ: 17,99 2026-03-02 07:14:01.150 RX: OK"
            ),
            [
                "2026-03-02 07:14:01.120 TX: AT+CSQ",
                "2026-03-02 07:14:01.144 RX: +CSQ: 17,99",
                "2026-03-02 07:14:01.150 RX: OK"
            ]
        );
    }

    #[test]
    fn sentences_and_single_exchanges_stay() {
        for line in [
            "When I send AT+CPIN? it says +CPIN: READY and then OK and with AT+CREG? it says +CREG: 0,2 and OK, so what is wrong with it",
            "AT+CPIN? +CPIN: READY OK that is all that it ever says to me",
            "+CGDCONT: 1,\"IP\",\"gauge.example\",\"0.0.0.0\",0,0,0,0",
        ] {
            assert_eq!(restored(line), [line]);
        }
    }
}
