//! Secrets that people and hosts write behind a word that names them, phone numbers and mail addresses in sentences.

use super::found::{PHONE_KEPT, Secret, SecretKind};

/// What may stand behind a word that announces a secret.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Announces {
    /// A user name, password or key behind a colon or an equals sign.
    Word,
    /// The same behind an equals sign only, because people begin sentences with the word, too.
    WordByEquals,
    /// The number of a PIN or PUK.
    Pin,
    /// A phone number.
    Phone,
}

/// The words that announce a secret.
const NAMES: [(&str, Announces); 28] = [
    ("password", Announces::Word),
    ("passwd", Announces::Word),
    ("passphrase", Announces::Word),
    ("pwd", Announces::Word),
    ("psk", Announces::Word),
    ("wifi key", Announces::Word),
    ("wi-fi key", Announces::Word),
    ("wlan key", Announces::Word),
    ("network key", Announces::Word),
    ("username", Announces::Word),
    ("user name", Announces::Word),
    ("user_name", Announces::Word),
    ("userid", Announces::Word),
    ("user", Announces::WordByEquals),
    ("login", Announces::WordByEquals),
    ("secret", Announces::WordByEquals),
    ("pin", Announces::Pin),
    ("puk", Announces::Pin),
    ("pin1", Announces::Pin),
    ("pin2", Announces::Pin),
    ("puk1", Announces::Pin),
    ("puk2", Announces::Pin),
    ("phone", Announces::Phone),
    ("tel", Announces::Phone),
    ("telephone", Announces::Phone),
    ("msisdn", Announces::Phone),
    ("mobile number", Announces::Phone),
    ("call me on", Announces::Phone),
];

/// Values that are no secret.
const OPEN: [&str; 12] = [
    "none", "null", "yes", "no", "true", "false", "required", "ready", "empty", "hidden", "unset",
    "n/a",
];

/// Finds the secrets that the words of one line name.
pub(super) fn find(line: &str, found: &mut Vec<Secret>) {
    let lower = line.to_ascii_lowercase();
    let bytes = lower.as_bytes();
    let mut before = None;
    for (at, c) in lower.char_indices() {
        // A name stands as a word of its own, or as the end of one such as `wpa_psk`.
        let begins = c.is_ascii_lowercase() && !before.is_some_and(char::is_alphanumeric);
        before = Some(c);
        if !begins {
            continue;
        }
        for (name, announces) in NAMES {
            let named = bytes[at] == name.as_bytes()[0] && lower[at..].starts_with(name);
            if named && !goes_on(&lower[at + name.len()..]) {
                found.extend(behind(&lower, at + name.len(), announces));
            }
        }
    }
    international(line, found);
    mail(line, found);
}

/// Whether a word goes on with this text.
fn goes_on(rest: &str) -> bool {
    rest.starts_with(|c: char| c.is_alphanumeric() || c == '_')
}

/// The secret that a name announces, from the end of the name on.
fn behind(lower: &str, at: usize, announces: Announces) -> Option<Secret> {
    let word = |range| Secret { range, kind: SecretKind::Word, keep: 0 };
    match announces {
        Announces::Word => value(lower, at, &[':', '=']).map(word),
        Announces::WordByEquals => value(lower, at, &['=']).map(word),
        Announces::Pin => pin(lower, at),
        Announces::Phone => named_phone(lower, at),
    }
}

/// The value behind one of `marks`.
fn value(lower: &str, at: usize, marks: &[char]) -> Option<std::ops::Range<usize>> {
    let rest = lower[at..].trim_start_matches(['"', '\'']).trim_start_matches([' ', '\t']);
    let rest = rest.strip_prefix(marks)?.trim_start_matches([' ', '\t']);
    let (rest, end) = match rest.chars().next()? {
        quote @ ('"' | '\'') => (&rest[1..], rest[1..].find(quote)?),
        _ => (
            rest,
            rest.find([' ', '\t', ',', ';', ')', ']', '}', '\r', '\n']).unwrap_or(rest.len()),
        ),
    };
    let text = &rest[..end];
    let start = lower.len() - rest.len();
    let shown = text.is_empty()
        || OPEN.contains(&text)
        || text.starts_with('<')
        || text.chars().all(|c| matches!(c, '*' | 'x' | '-' | '.' | '?'));
    (!shown).then_some(start..start + end)
}

/// Four to eight digits behind the word: `PIN: 4821`, `the PIN is 4821`.
fn pin(lower: &str, at: usize) -> Option<Secret> {
    let rest = lower[at..].trim_start_matches([' ', '\t', ':', '=', '#', '"', '\'']);
    let rest = ["is ", "was ", "code "].iter().find_map(|w| rest.strip_prefix(w)).unwrap_or(rest);
    let rest = rest.trim_start_matches([' ', ':', '=', '"', '\'']);
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    let start = lower.len() - rest.len();
    let ends = !rest[digits..].starts_with(|c: char| c.is_alphanumeric() || matches!(c, ':' | '/'));
    ((4..=8).contains(&digits) && ends).then(|| Secret {
        range: start..start + digits,
        kind: SecretKind::Pin,
        keep: 0,
    })
}

fn named_phone(lower: &str, at: usize) -> Option<Secret> {
    let rest = lower[at..].trim_start_matches([' ', '\t', ':', '=', '.', '#', '"', '\'']);
    let length = number_length(rest);
    let start = lower.len() - rest.len();
    is_phone(&rest[..length], 6).then(|| Secret {
        range: start..start + length,
        kind: SecretKind::Phone,
        keep: PHONE_KEPT,
    })
}

/// Numbers with a plus sign before 8 to 15 digits (ITU-T E.164), with blanks and dashes between them.
fn international(line: &str, found: &mut Vec<Secret>) {
    for (at, _) in line.match_indices('+') {
        let before = line[..at].chars().next_back();
        if before.is_some_and(|c| c.is_alphanumeric() || matches!(c, '+' | ':' | '.')) {
            continue;
        }
        let length = number_length(&line[at..]);
        let digits = line[at..at + length].bytes().filter(u8::is_ascii_digit).count();
        if line[at + 1..].starts_with(|c: char| c.is_ascii_digit()) && (8..=15).contains(&digits) {
            let number = at..at + length;
            // The country's code ends at a blank.
            let blank = line[number.clone()].find(' ').filter(|n| *n <= 4);
            let keep = blank.unwrap_or(PHONE_KEPT);
            found.push(Secret { range: number, kind: SecretKind::Phone, keep });
        }
    }
}

/// No phone number is written longer, blanks included.
const LONGEST_NUMBER: usize = 32;

/// How much of a text is written as a phone number.
fn number_length(text: &str) -> usize {
    let written =
        |b: &u8| b.is_ascii_digit() || matches!(b, b'+' | b' ' | b'-' | b'(' | b')' | b'/');
    let length = text.bytes().take(LONGEST_NUMBER).take_while(|b| written(b)).count();
    text[..length].trim_end_matches(|c: char| !c.is_ascii_digit()).len()
}

/// Whether a text is written as a phone number of at least so many digits.
pub(super) fn is_phone(text: &str, fewest: usize) -> bool {
    let digits = text.bytes().filter(u8::is_ascii_digit).count();
    digits >= fewest && digits <= 20 && number_length(text) == text.len()
}

/// The name before the sign of a mail address.
fn mail(line: &str, found: &mut Vec<Secret>) {
    for (at, _) in line.match_indices('@') {
        let name = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '_' | '-' | '+');
        let start = line[..at].trim_end_matches(name).len();
        let host = line[at + 1..].split(|c: char| !name(c)).next().unwrap_or("");
        if start < at && host.trim_end_matches('.').contains('.') {
            found.push(Secret { range: start..at, kind: SecretKind::Word, keep: 0 });
        }
    }
}
