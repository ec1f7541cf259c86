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

/// The length of a name of capital letters, and digits behind the first.
fn name(rest: &[u8]) -> usize {
    let len = rest.iter().take_while(|b| b.is_ascii_uppercase() || b.is_ascii_digit()).count();
    let fits =
        (2..=16).contains(&len) && rest[0].is_ascii_uppercase() && rest[1].is_ascii_uppercase();
    // The header of an error is no reply's, and run-together words have a meaning of their own.
    if fits && !rest.starts_with(b"CM") { len } else { 0 }
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
            let count = numbers.iter().take_while(|b| b.is_ascii_digit() || **b == b',').count();
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
    let mut quoted = false;
    let mut before = b',';
    for (at, &b) in body.iter().enumerate() {
        match b {
            b'\r' | b'\n' => {
                return ends_well(quoted, before).then_some(at);
            }
            b'"' => {
                // A quote opens and closes at a comma or at an end, and nowhere else.
                let opens = before == b',';
                let closes = matches!(body.get(at + 1), None | Some(b',' | b'\r' | b'\n'));
                if !(if quoted { closes } else { opens }) {
                    return None;
                }
                quoted = !quoted;
            }
            b'`' | b'\'' => return None,
            _ if quoted => {}
            b'0'..=b'9' | b',' => {}
            b'-' if matches!(before, b',' | b'-') => {}
            b'.' if before.is_ascii_digit() => {}
            _ => return None,
        }
        before = b;
    }
    ends_well(quoted, before).then_some(body.len())
}

/// Whether values may end behind a byte.
fn ends_well(quoted: bool, last: u8) -> bool {
    !quoted && (last.is_ascii_digit() || last == b'"')
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::item::find;
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
                find(&line, &mut found);
                prop_assert_eq!(found, vec![direct], "{}", line);
            }
        }
    }
}
