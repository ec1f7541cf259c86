//! Stand-ins for secrets: the same for the same secret, of the same length, and alike in what the diagnosis reads.

use crate::identity::{Secret, SecretKind, is_checked, remainder_of_97};
use std::collections::HashMap;

/// The stand-ins of one text.
#[derive(Debug, Default)]
pub(super) struct StandIns {
    /// The number given to each secret, in the order in which those of its group were seen.
    given: HashMap<(SecretKind, String), HashMap<String, u32>>,
}

/// Digits of a number of subscriber, card or device that stay: network code, issuer, type of device.
const KEPT: usize = 6;

/// Digits that two numbers of one subscriber, card or device have in common, whatever is printed behind them
/// (TS 23.003 §6.2.1: an IMEI without check digit).
const COMMON: usize = 14;

/// The digits of an EID, whose last two are check digits.
const LONG: usize = 32;

impl StandIns {
    /// The stand-in of a secret, a text of as many characters.
    pub(super) fn of(&mut self, secret: &Secret, found: &str) -> String {
        match secret.kind {
            SecretKind::Number => self.number(found),
            SecretKind::SwappedNumber => self.swapped(found),
            // Identifier, network code and entity stay, the subscriber's own part is the last eight digits.
            SecretKind::Temporary => {
                let own = found.len().min(24);
                let new = self.digits(secret.kind, &found[16.min(own)..own]);
                format!("{}{new}{}", &found[..16.min(own)], &found[own..])
            }
            SecretKind::Phone => self.kept(secret, found),
            SecretKind::Address => self.kept(secret, found),
            SecretKind::Hardware => self.kept(secret, found),
            SecretKind::Pin => self.digits(secret.kind, found),
            SecretKind::Word => self.word(found),
        }
    }

    /// The number of a secret: 0 for the first of its kind that is seen, 1 for the next one.
    fn nth(&mut self, kind: SecretKind, secret: &str) -> u32 {
        self.nth_of(kind, "", secret)
    }

    /// The same within a group of its kind.
    fn nth_of(&mut self, kind: SecretKind, group: &str, secret: &str) -> u32 {
        let given = self.given.entry((kind, group.to_owned())).or_default();
        let next = u32::try_from(given.len()).unwrap_or(u32::MAX);
        *given.entry(secret.to_owned()).or_insert(next)
    }

    /// Another number with the same first digits; it is checked where the old one was, and not where it was not.
    fn number(&mut self, found: &str) -> String {
        let digits: String = found.chars().filter(char::is_ascii_digit).collect();
        let digits = digits.as_str();
        // A number of zeros, or all alike, names nobody: it is one that was never written.
        let own = &digits[KEPT.min(digits.len())..];
        if own.bytes().all(|b| Some(b) == own.bytes().next()) {
            return found.to_owned();
        }
        let common = digits.len().min(COMMON);
        // Counted by the digits that stay: the modem and the card of two texts keep one stand-in each, in whatever order
        // the texts name them.
        let n = self.nth_of(SecretKind::Number, &digits[..KEPT], &digits[..common]);
        let width = common - KEPT;
        let mut new = format!("{}{:0width$}", &digits[..KEPT], (n + 1) % 100_000_000);
        // Behind the common part digits that differ must still differ.
        let shift = |c: char| {
            let digit = (c.to_digit(10).unwrap_or(0) + n + 1) % 10;
            char::from_digit(digit, 10).unwrap_or('0')
        };
        new.extend(digits[common..].chars().map(shift));
        if digits.len() == LONG && remainder_of_97(digits) == 1 {
            let before = &new[..LONG - 2];
            new = format!("{before}{:02}", 98 - remainder_of_97(before) * 100 % 97);
        } else if is_checked(digits) != is_checked(&new) {
            let before = new[..new.len() - 1].to_owned();
            let right = crate::identity::check_digit(&before).unwrap_or('0');
            let wrong = char::from_digit((right.to_digit(10).unwrap_or(0) + 1) % 10, 10);
            new = before;
            new.push(if is_checked(digits) { right } else { wrong.unwrap_or('0') });
        }
        // Blanks and dashes between groups, and what fills up the end, stay where they are.
        let mut new = new.chars();
        let place = |c: char| if c.is_ascii_digit() { new.next().unwrap_or(c) } else { c };
        found.chars().map(place).collect()
    }

    /// The contents of a file of the card: two digits a byte, in the wrong order.
    fn swapped(&mut self, found: &str) -> String {
        let turn = |text: &str| -> String {
            let bytes = text.as_bytes().chunks(2);
            bytes.flat_map(|b| b.iter().rev().map(|c| char::from(*c))).collect()
        };
        let (whole, rest) = found.split_at(found.len() / 2 * 2);
        let straight = turn(whole);
        // Of a subscriber's number the length and a half byte stand before it (TS 31.102 §4.2.2).
        let from = if found.starts_with("08") { 3 } else { 0 };
        let behind = straight[from..].bytes().take_while(u8::is_ascii_digit).count();
        let number = self.number_if_long(&straight[from..from + behind]);
        format!(
            "{}{rest}",
            turn(&format!("{}{number}{}", &straight[..from], &straight[from + behind..]))
        )
    }

    fn number_if_long(&mut self, digits: &str) -> String {
        if digits.len() > KEPT { self.number(digits) } else { digits.to_owned() }
    }

    /// The same signs and the same first characters, with other digits behind them.
    fn kept(&mut self, secret: &Secret, found: &str) -> String {
        let (shown, hidden) = found.split_at_checked(secret.keep).unwrap_or((found, ""));
        let alike: String = hidden.chars().filter(char::is_ascii_alphanumeric).collect();
        let nth = self.nth(secret.kind, &format!("{shown}{}", alike.to_ascii_lowercase()));
        let mut digits = number_from(nth + 1, alike.len()).into_bytes().into_iter();
        let new = hidden.chars().scan(' ', |before, c| {
            let first = !before.is_ascii_hexdigit();
            *before = c;
            Some(if c.is_ascii_hexdigit() {
                let digit = digits.next().map_or('0', char::from);
                // An octet must stay below 256 and must not begin with a zero.
                if first && secret.kind == SecretKind::Address { '1' } else { digit }
            } else {
                c
            })
        });
        format!("{shown}{}", new.collect::<String>())
    }

    fn digits(&mut self, kind: SecretKind, found: &str) -> String {
        let nth = self.nth(kind, found);
        number_from(nth + 1, found.len())
    }

    /// A word of as many letters.
    fn word(&mut self, found: &str) -> String {
        let nth = self.nth(SecretKind::Word, found);
        let letters = "abcdefghijkmnopqrstuvwxyz".as_bytes();
        let mut rest = usize::try_from(nth).unwrap_or(0);
        let mut new: Vec<char> = found
            .chars()
            .map(|_| {
                let letter = letters[rest % letters.len()];
                rest /= letters.len();
                char::from(letter)
            })
            .collect();
        new.reverse();
        new.into_iter().collect()
    }
}

/// A number written with so many digits; it keeps its last ones.
fn number_from(n: u32, width: usize) -> String {
    let text = format!("{n:0width$}");
    text[text.len() - width..].to_owned()
}
