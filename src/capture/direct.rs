//! Lines as a modem itself prints them, known at a glance: `OK`, `AT+CSQ`, `+CSQ: 17,99`.
//!
//! Whatever a person, a logger or a terminal may have added is left to the thorough search, which
//! finds the same item in these lines; a test holds the two against each other.

use super::escapes::may_be_special;
use super::item::{Item, Kind};

/// What an item can be that is known at a glance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Plain {
    Command,
    Headed,
    Ok,
}

/// The one item of a line, in few bytes: there is one a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Glance {
    pub(super) kind: Plain,
    head_end: u8,
    text_at: u8,
    end: u16,
}

impl Glance {
    /// Of a line in which it begins at 0; `None` for a line of more than 65535 bytes.
    fn new(kind: Plain, head_end: usize, text_at: usize, end: usize) -> Option<Self> {
        Some(Self {
            kind,
            head_end: u8::try_from(head_end).ok()?,
            text_at: u8::try_from(text_at).ok()?,
            end: u16::try_from(end).ok()?,
        })
    }

    /// The end of its header, where it has one.
    pub(super) fn head_end(self) -> usize {
        usize::from(self.head_end)
    }

    /// Where its text begins.
    pub(super) fn text_at(self) -> usize {
        usize::from(self.text_at)
    }

    /// Where it ends, and the line with it.
    pub(super) fn end(self) -> usize {
        usize::from(self.end)
    }

    /// The item as it stands behind marks of so many bytes.
    pub(super) fn item(self, marks: usize) -> Item {
        Item {
            kind: match self.kind {
                Plain::Command => Kind::Command,
                Plain::Headed => Kind::Headed,
                Plain::Ok => Kind::Ok,
            },
            start: marks,
            end: marks + self.end(),
            head_end: marks + self.head_end(),
            text_at: marks + self.text_at(),
            told: false,
        }
    }
}

/// The one item of the first line of `text`, where that line holds it and nothing else.
#[inline]
pub(super) fn glance(text: &[u8]) -> Option<Glance> {
    match text {
        [b'O', b'K', rest @ ..] if line_ends(rest) => Glance::new(Plain::Ok, 0, 2, 2),
        [b'A', b'T', b'+', rest @ ..] => command(rest),
        [b'+', rest @ ..] => headed(rest),
        _ => None,
    }
}

/// Whether a line ends here.
fn line_ends(rest: &[u8]) -> bool {
    matches!(rest, [] | [b'\r' | b'\n', ..])
}

/// What a byte can be in a line.
const NAME: u8 = 1;
const DIGIT: u8 = 2;
/// Ends a quoted text, or makes it one that needs a closer look: it may not be plain.
const NO_TEXT: u8 = 4;
const COMMA: u8 = 8;

const CLASSES: [u8; 256] = by_byte!(0, |b| match b {
    b'0'..=b'9' => NAME | DIGIT,
    b'A'..=b'Z' => NAME,
    b',' => COMMA,
    b'"' | b'`' | b'\r' | b'\n' => NO_TEXT,
    _ if may_be_special(b) => NO_TEXT,
    _ => 0,
});

fn is(class: u8, b: u8) -> bool {
    CLASSES[usize::from(b)] & class != 0
}

/// How many bytes of a class stand at the start.
fn run(class: u8, rest: &[u8]) -> usize {
    // The runs are a few bytes long: a plain loop is over before a search has begun.
    let mut len = 0;
    while len < rest.len() && is(class, rest[len]) {
        len += 1;
    }
    len
}

/// The length of a name of capital letters, and digits behind the first two.
fn name(rest: &[u8]) -> usize {
    let [first, second, ..] = rest else { return 0 };
    // The header of an error is no reply's, and run-together words have a meaning of their own.
    if !first.is_ascii_uppercase() || !second.is_ascii_uppercase() || rest.starts_with(b"CM") {
        return 0;
    }
    let len = run(NAME, rest);
    if len <= 16 { len } else { 0 }
}

/// A name, then a question or numbers: `+CREG?`, `+CSQ`, `+CGDCONT=?`, `+CMEE=1`.
#[inline(never)]
fn command(rest: &[u8]) -> Option<Glance> {
    let len = name(rest);
    if len == 0 {
        return None;
    }
    let values = match &rest[len..] {
        [b'=', b'?', ..] => 2,
        [b'?', ..] => 1,
        [b'=', numbers @ ..] => {
            let other = |b: &u8| !is(DIGIT, *b) && *b != b',';
            let count = numbers.iter().position(other).unwrap_or(numbers.len());
            if !numbers[..count].last().is_some_and(u8::is_ascii_digit) {
                return None;
            }
            1 + count
        }
        _ => 0,
    };
    if !line_ends(&rest[len + values..]) {
        return None;
    }
    Glance::new(Plain::Command, 0, 2, 3 + len + values)
}

/// A name, a colon, then numbers and quoted texts between commas.
#[inline(never)]
fn headed(rest: &[u8]) -> Option<Glance> {
    let len = name(rest);
    if len == 0 || rest.get(len) != Some(&b':') {
        return None;
    }
    let blank = usize::from(rest.get(len + 1) == Some(&b' '));
    let body = len + 1 + blank;
    Glance::new(Plain::Headed, 1 + len, 1 + body, 1 + body + values(&rest[body..])?)
}

/// The length of the values up to the end of the line: numbers and quoted texts, or one state.
fn values(body: &[u8]) -> Option<usize> {
    if let [b'R', b'E', b'A', b'D', b'Y', rest @ ..] = body {
        return line_ends(rest).then_some(5);
    }
    let mut at = 0;
    loop {
        at += run(DIGIT | COMMA, &body[at..]);
        match body.get(at) {
            None | Some(b'\r' | b'\n') => break,
            // A quote opens at the beginning of a value.
            Some(b'"') if at == 0 || body[at - 1] == b',' => at += 2 + quoted(&body[at + 1..])?,
            Some(b'-' | b'.') => {
                let digits = body[..at].iter().rev().take_while(|b| b.is_ascii_digit()).count();
                at += number(&body[at - digits..]) - digits;
            }
            Some(_) => return None,
        }
        if !matches!(body.get(at), None | Some(b',' | b'\r' | b'\n')) {
            return None;
        }
    }
    let last = *body[..at].last()?;
    (is(DIGIT, last) || last == b'"').then_some(at)
}

/// The length of a text up to the quote that closes it.
fn quoted(text: &[u8]) -> Option<usize> {
    let len = text.iter().position(|&b| is(NO_TEXT, b))?;
    (text[len] == b'"').then_some(len)
}

/// The length of a number, with a sign and points: `-93`, `12.5`, `192.0.2.1`, or nothing.
fn number(body: &[u8]) -> usize {
    let mut at = body.iter().take_while(|b| **b == b'-').count();
    loop {
        let digits = run(DIGIT, &body[at..]);
        at += digits;
        match body.get(at) {
            Some(b'.') if digits > 0 => at += 1,
            _ => return at,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::{item::search, prefix};
    use proptest::prelude::*;

    #[test]
    fn plain_lines_are_known_and_others_are_not() {
        for line in [
            "OK",
            "AT+CSQ",
            "AT+CREG?",
            "+CREG: 0,1",
            "+CPIN: READY",
            "+COPS: 0,0,\"Weir\",7",
            "+CESQ:99,-4",
        ] {
            assert!(glance(line.as_bytes()).is_some(), "{line}");
        }
        for line in
            ["ok", "AT", "+CREG: 0,1 (home)", "+CME ERROR: 10", "+CREG: 0,1+CGREG: 0,1", "> OK"]
        {
            assert!(glance(line.as_bytes()).is_none(), "{line}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        #[test]
        fn the_thorough_search_finds_the_same(
            line in "(OK|AT|\\+|AT\\+)?[A-Z]{0,6}[0-9]?(: |:|\\?|=|=\\?)?([0-9]{1,3}|-[0-9]+|\"[A-Z a-z.+:OKAT]{0,8}\"|,|READY){0,7}",
        ) {
            if let Some(glance) = glance(line.as_bytes()) {
                let mut found = Vec::new();
                search(&line, prefix::length(&line), &mut found);
                prop_assert_eq!(found, vec![glance.item(0)], "{}", line);
            }
        }
    }
}
