//! Lines as a modem itself prints them, known at a glance: `OK`, `AT+CSQ`, `+CSQ: 17,99`.
//!
//! Whatever a person, a logger or a terminal may have added is left to the thorough search, which
//! finds the same item in these lines; a test holds the two against each other.

use super::item::{Item, Kind};

/// The one item of a line that holds it and nothing else.
pub(super) fn item(line: &str) -> Option<Item> {
    let bytes = line.as_bytes();
    match bytes {
        b"OK" => {
            Some(Item { kind: Kind::Ok, start: 0, end: 2, head_end: 0, text_at: 2, told: false })
        }
        [b'A', b'T', b'+', rest @ ..] => command(rest),
        [b'+', rest @ ..] => headed(rest),
        _ => None,
    }
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
    let values = &rest[len..];
    let plain = match values {
        [] | [b'?'] | [b'=', b'?'] => true,
        [b'=', numbers @ .., last] => {
            last.is_ascii_digit() && numbers.iter().all(|b| b.is_ascii_digit() || *b == b',')
        }
        _ => false,
    };
    (len > 0 && plain).then_some(Item {
        kind: Kind::Command,
        start: 0,
        end: 3 + rest.len(),
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
    let body = &rest[len + 1 + blank..];
    if !is_values(body) {
        return None;
    }
    Some(Item {
        kind: Kind::Headed,
        start: 0,
        end: 1 + rest.len(),
        head_end: 1 + len,
        text_at: 2 + len + blank,
        told: false,
    })
}

fn is_values(body: &[u8]) -> bool {
    let mut quoted = false;
    let mut digits = 0_usize;
    for (at, b) in body.iter().enumerate() {
        match b {
            b'"' => {
                // A quote opens and closes at a comma or at an end, and nowhere else.
                let edge =
                    if quoted { body.get(at + 1) } else { at.checked_sub(1).map(|i| &body[i]) };
                if edge.is_some_and(|e| *e != b',') {
                    return false;
                }
                quoted = !quoted;
                digits = 0;
            }
            b'`' | b'\'' => return false,
            _ if quoted => {}
            b'0'..=b'9' => digits += 1,
            b',' => digits = 0,
            b'-' if digits == 0 => {}
            b'.' if digits > 0 => {}
            _ => return false,
        }
    }
    !quoted && body.last().is_some_and(|b| b.is_ascii_digit() || *b == b'"')
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::item::find;
    use proptest::prelude::*;

    #[test]
    fn plain_lines_are_known_and_others_are_not() {
        for line in
            ["OK", "AT+CSQ", "AT+CREG?", "+CREG: 0,1", "+COPS: 0,0,\"Weir\",7", "+CESQ:99,-4"]
        {
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
            line in "(OK|AT|\\+|AT\\+)?[A-Z]{0,6}[0-9]?(: |:|\\?|=|=\\?)?([0-9]{1,3}|-[0-9]+|\"[A-Z a-z.+:OKAT]{0,8}\"|,){0,7}",
        ) {
            if let Some(direct) = item(&line) {
                let mut found = Vec::new();
                find(&line, &mut found);
                prop_assert_eq!(found, vec![direct], "{}", line);
            }
        }
    }
}
