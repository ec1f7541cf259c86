//! Phone numbers in sentences: behind a word that names one, with the sign of a country (ITU-T E.164), or with the
//! code of an area in brackets.

use super::found::{PHONE_KEPT, Secret, SecretKind};
use std::ops::Range;

/// No phone number is written longer, blanks included.
const LONGEST_NUMBER: usize = 32;

/// What may stand between the word that names a phone number and the number.
const BETWEEN: &[&str] =
    &["number", "nummer", "no", "nr", "num", "is", "ist", "lautet", "est", "es", "er"];

/// The number behind a word that names one, from the end of the word on.
pub(super) fn named(lower: &str, at: usize) -> Option<Secret> {
    let signs = [' ', '\t', ':', '=', '.', '#', '"', '\''];
    let mut rest = lower[at..].trim_start_matches(signs);
    while let Some(behind) = BETWEEN.iter().find_map(|w| rest.strip_prefix(w)) {
        rest = behind.strip_prefix(signs)?.trim_start_matches(signs);
    }
    let length = number_length(rest);
    let start = lower.len() - rest.len();
    is_phone(&rest[..length], 6).then(|| phone(start..start + length, PHONE_KEPT))
}

fn phone(range: Range<usize>, keep: usize) -> Secret {
    Secret { range, kind: SecretKind::Phone, keep }
}

/// Numbers with a plus sign before 8 to 15 digits (ITU-T E.164), with blanks and dashes between them.
pub(super) fn international(line: &str, found: &mut Vec<Secret>) {
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
            found.push(phone(number, blank.unwrap_or(PHONE_KEPT)));
        }
    }
}

/// Numbers behind the code of an area in brackets, which begins with the zero of a trunk call: `(030) 1234567`. Lists
/// of values in brackets have a comma behind them.
pub(super) fn with_area(line: &str, found: &mut Vec<Secret>) {
    for (at, _) in line.match_indices("(0") {
        let area = line[at + 1..].bytes().take_while(u8::is_ascii_digit).count();
        let Some(behind) = line[at + 1 + area..].strip_prefix(')') else { continue };
        let behind = behind.strip_prefix([' ', '-', '/']).unwrap_or(behind);
        let length = number_length(behind);
        let own = behind[..length].bytes().filter(u8::is_ascii_digit).count();
        if (3..=6).contains(&area)
            && (4..=10).contains(&own)
            && behind.starts_with(|c: char| c.is_ascii_digit())
        {
            let end = line.len() - behind.len() + length;
            found.push(phone(at..end, PHONE_KEPT + 1));
        }
    }
}

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
