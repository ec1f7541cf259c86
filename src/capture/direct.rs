//! Lines as a modem itself prints them, known at a glance: `OK`, `AT+CSQ`, `+CSQ: 17,99`.
//!
//! Whatever a person, a logger or a terminal may have added is left to the thorough search, which
//! finds the same item in these lines; a test holds the two against each other.

use super::item::{Item, Kind};

/// The one item of the first line of `text`, where that line holds it and nothing else.
pub(super) fn item(text: &str) -> Option<Item> {
    match text.as_bytes() {
        [b'O', b'K', rest @ ..] if line_ends(rest) => {
            Some(Item { kind: Kind::Ok, start: 0, end: 2, head_end: 0, text_at: 2, told: false })
        }
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
/// Ends a quoted text, or makes it one that needs a closer look.
const NO_TEXT: u8 = 4;

const CLASSES: [u8; 256] = by_byte!(0, |b| match b {
    b'0'..=b'9' => NAME | DIGIT,
    b'A'..=b'Z' => NAME,
    b'"' | b'`' | b'\'' | b'\r' | b'\n' => NO_TEXT,
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
fn command(rest: &[u8]) -> Option<Item> {
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
    line_ends(&rest[len + values..]).then_some(Item {
        kind: Kind::Command,
        start: 0,
        end: 3 + len + values,
        head_end: 0,
        text_at: 2,
        told: false,
    })
}

/// A name, a colon, then numbers and quoted texts between commas.
fn headed(rest: &[u8]) -> Option<Item> {
    let len = name(rest);
    if len == 0 || rest.get(len) != Some(&b':') {
        return None;
    }
    let blank = usize::from(rest.get(len + 1) == Some(&b' '));
    let body = len + 1 + blank;
    Some(Item {
        kind: Kind::Headed,
        start: 0,
        end: 1 + body + values(&rest[body..])?,
        head_end: 1 + len,
        text_at: 1 + body,
        told: false,
    })
}

/// The length of the values up to the end of the line: numbers and quoted texts, or one state.
fn values(body: &[u8]) -> Option<usize> {
    if let [b'R', b'E', b'A', b'D', b'Y', rest @ ..] = body {
        return line_ends(rest).then_some(5);
    }
    let mut at = 0;
    loop {
        let from = at;
        at += run(DIGIT, &body[at..]);
        match body.get(at) {
            // A quote opens at the beginning of a value.
            Some(b'"') if at == from => at += 2 + quoted(&body[at + 1..])?,
            Some(b'-' | b'.') => at = from + number(&body[from..]),
            _ => {}
        }
        match body.get(at) {
            Some(b',') => at += 1,
            None | Some(b'\r' | b'\n') => break,
            Some(_) => return None,
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
            assert!(item(line).is_some(), "{line}");
        }
        for line in
            ["ok", "AT", "+CREG: 0,1 (home)", "+CME ERROR: 10", "+CREG: 0,1+CGREG: 0,1", "> OK"]
        {
            assert!(item(line).is_none(), "{line}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        #[test]
        fn the_thorough_search_finds_the_same(
            line in "(OK|AT|\\+|AT\\+)?[A-Z]{0,6}[0-9]?(: |:|\\?|=|=\\?)?([0-9]{1,3}|-[0-9]+|\"[A-Z a-z.+:OKAT]{0,8}\"|,|READY){0,7}",
        ) {
            if let Some(direct) = item(&line) {
                let mut found = Vec::new();
                search(&line, prefix::length(&line), &mut found);
                prop_assert_eq!(found, vec![direct], "{}", line);
            }
        }
    }
}
