//! Numbers and identities behind their labels, as records, pages and dumps of machines have them, with or without a unit.
//!
//! ```text
//! cell: rsrp -96 rsrq -11 sinr 7        lte.rsrp   -90 dBm        RSRP / RSRQ : -99 / -12        -91 dBm RSRP
//! plmn: "999-70"        band=3        tac 0x1771        apn "internet.weir"        prx.rsrp=-126
//! ```
//!
//! Common practice, no source. A level without a unit must have its sign, or be a ratio: a bare number is an index as
//! often. What stands under a heading of other cells is none of the serving one.

mod level;

use crate::case::{Cell, Fact, Facts, Quantity};
use crate::reference::bands::lte_band;
use crate::span::Span;

/// Labels of whole numbers.
const COUNTS: [(&str, Quantity); 5] = [
    ("pci", Quantity::Pci),
    ("earfcn", Quantity::Earfcn),
    ("nrarfcn", Quantity::NrArfcn),
    ("nr-arfcn", Quantity::NrArfcn),
    ("cqi", Quantity::Cqi),
];

/// What makes a record one of other cells, other times or other radios.
const OTHERS: [&str; 24] = [
    "neighbo",
    "heard",
    "scan",
    "history",
    "previous",
    "secondary",
    "scell",
    "scc",
    "wifi",
    "wi-fi",
    "wlan",
    "bluetooth",
    "lora",
    "survey",
    "last good",
    "other cells",
    "cells:",
    "minimum",
    "maximum",
    "threshold",
    "limit",
    "phone",
    "average",
    "colleague",
];

/// The block of a record that is of something else, by the indentation of its heading.
#[derive(Debug, Default)]
pub(super) struct Measures {
    other: Option<usize>,
}

/// A key of a line with the text behind it.
#[derive(Clone, Copy, Debug)]
struct Labelled<'t> {
    /// The whole key, qualifiers before the label with it.
    key: &'t str,
    /// Where the key begins.
    at: usize,
    /// What stands behind the key and its mark.
    value: &'t str,
    /// Where that begins.
    value_at: usize,
}

impl Measures {
    /// Reads a line that a machine wrote; `lower` is it in small letters, `base` where it begins.
    pub(super) fn read(&mut self, line: &str, lower: &str, base: usize, facts: &mut Facts) {
        let indent = line.len() - line.trim_start().len();
        if self.other.is_some_and(|block| indent <= block) {
            self.other = None;
        }
        let of_other = OTHERS.iter().any(|word| lower.contains(word));
        if of_other && lower.trim_end().ends_with([':', '{', '[']) {
            self.other.get_or_insert(indent);
        }
        if self.other.is_some() || of_other {
            return;
        }
        level::read(lower, base, facts);
        for (label, quantity) in COUNTS {
            if let Some(found) = only(labelled(lower, label))
                && let Some((number, len)) = whole_number(found.value)
            {
                facts.number(quantity, number, Cell::Serving, found.span(base, len));
            }
        }
        area(lower, base, facts);
        band(lower, base, facts);
        network(lower, base, facts);
        access_point(line, lower, base, facts);
    }
}

impl Labelled<'_> {
    /// Where the key and so much of its value stand.
    fn span(&self, base: usize, value: usize) -> Span {
        Span::new(base + self.at, base + self.value_at + value)
    }
}

/// What a line holds of a label exactly once.
fn only<T>(mut all: impl Iterator<Item = T>) -> Option<T> {
    let first = all.next()?;
    all.next().is_none().then_some(first)
}

/// Every key of a line that ends with a label, with what stands behind it.
fn labelled<'t>(lower: &'t str, label: &'static str) -> impl Iterator<Item = Labelled<'t>> {
    lower.match_indices(label).filter_map(move |(at, _)| {
        let of_key = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '.' | '-');
        let begins = lower[..at].trim_end_matches(of_key).len();
        let qualified = lower[..at].ends_with([
            '_', '.', '-', ' ', '\t', '"', '{', '(', '<', '|', ',', '/', ';', ']', '>',
        ]);
        let rest = &lower[at + label.len()..];
        // The unit in the label: `RSRP (dBm)`.
        let unit = ["(dbm)", "(db)", "[dbm]", "[db]", "_dbm", "_db"];
        let bare = rest.trim_start_matches(' ');
        let rest = unit.iter().find_map(|unit| bare.strip_prefix(unit)).unwrap_or(rest);
        let value = rest.trim_start_matches([' ', '\t', ':', '=', '"', '\'', '|', '>']);
        // Dots lead to a value in a printed column.
        let value =
            if value.starts_with("..") { value.trim_start_matches(['.', ' ', ':']) } else { value };
        let marked = value.len() < rest.len() && !value.is_empty();
        ((qualified || begins == 0 && at == 0) && marked).then(|| Labelled {
            key: &lower[begins..at + label.len()],
            at: begins,
            value,
            value_at: lower.len() - value.len(),
        })
    })
}

/// The number at the start of a text, its length, and what stands behind it.
fn number(text: &str) -> Option<(f64, usize, &str)> {
    let unsigned = text.strip_prefix(['-', '+']).unwrap_or(text);
    let digits = unsigned.bytes().take_while(|b| b.is_ascii_digit() || *b == b'.').count();
    let len = text.len() - unsigned.len() + digits;
    let shown = text[..len].trim_end_matches('.');
    let value =
        shown.parse().ok().filter(|_| unsigned.starts_with(|c: char| c.is_ascii_digit()))?;
    Some((value, shown.len(), &text[shown.len()..]))
}

/// A number without a fraction, that nothing goes on behind.
fn whole_number(text: &str) -> Option<(f64, usize)> {
    let (value, len, behind) = number(text)?;
    (!text[..len].contains(['.', '-', '+']) && ends(behind)).then_some((value, len))
}

/// Whether a value is whole in front of this text.
fn ends(behind: &str) -> bool {
    !behind.starts_with(|c: char| c.is_alphanumeric() || matches!(c, '-' | '%' | '.' | '_'))
        || behind.starts_with(". ")
}

/// The tracking or location area, where its digits show that they are hexadecimal.
fn area(lower: &str, base: usize, facts: &mut Facts) {
    let Some(found) = only(labelled(lower, "tac")) else { return };
    let bare = found.value.strip_prefix("0x");
    let digits = bare.unwrap_or(found.value);
    let digits = digits.strip_prefix("-/").unwrap_or(digits);
    let len = digits.bytes().take_while(u8::is_ascii_hexdigit).count();
    let shown = &digits[..len];
    // `1A2B`, `0x1771`, `00C350`: four digits or six; in figures alone it may be decimal.
    let hexadecimal = bare.is_some() && len >= 1
        || matches!(len, 4 | 6)
            && (shown.bytes().any(|b| b.is_ascii_alphabetic()) || shown.starts_with('0'));
    if hexadecimal && len <= 6 && ends(&digits[len..]) {
        let word = compact_str::CompactString::from(shown.to_ascii_uppercase());
        let at = digits.as_ptr() as usize - lower.as_ptr() as usize;
        facts.push(
            Fact::word(Quantity::TacHex, word, Cell::Serving),
            Span::new(base + at, base + at + len),
        );
    }
}

/// The band in use: one number behind `band`, or behind the technology: `LTE B8`.
fn band(lower: &str, base: usize, facts: &mut Facts) {
    let listed = ["supported", "enabled", "allowed", "bands", "locked", "mask", "regulator"];
    if listed.iter().any(|word| lower.contains(word)) {
        return;
    }
    let labels = labelled(lower, "band").filter_map(|found| {
        let value = found.value.trim_start_matches(['#', ' ']);
        let (letter, digits) = match value.as_bytes() {
            [b'n', b'0'..=b'9', ..] => (Some('n'), &value[1..]),
            [b'b', b'0'..=b'9', ..] => (None, &value[1..]),
            _ => (None, value),
        };
        let (number, len) = whole_number(digits)?;
        let rest = digits[len..].trim_start();
        let list = rest.starts_with("and ")
            || rest.strip_prefix([',', '/', '+']).is_some_and(|r| {
                r.trim_start()
                    .trim_start_matches(['b', 'n'])
                    .starts_with(|c: char| c.is_ascii_digit())
            });
        let at = digits.as_ptr() as usize - lower.as_ptr() as usize;
        (!list).then_some((number, letter, at, len))
    });
    let beside = ["lte b", "lte-b", "lte, b"].into_iter().flat_map(|label| {
        lower.match_indices(label).filter_map(move |(at, _)| {
            let from = at + label.len();
            let (number, len) = whole_number(&lower[from..])?;
            (len <= 2).then_some((number, None, from, len))
        })
    });
    if let Some((number, letter, at, len)) = only(labels.chain(beside)) {
        let known = letter.is_some() || lte_band(number as u16).is_some();
        if known && number < 512.0 {
            facts.number(
                Quantity::Band,
                number,
                Cell::Serving,
                Span::new(base + at, base + at + len),
            );
        }
    }
}

/// The network in use: `001-01`, `001/01`, or five or six digits directly behind their key.
fn network(lower: &str, base: usize, facts: &mut Facts) {
    const KEYS: [&str; 17] = [
        "plmn",
        "mccmnc",
        "mcc-mnc",
        "mcc/mnc",
        "network",
        "netz",
        "registered",
        "home",
        "roaming",
        "camped on",
        "cell",
        "serving",
        "operator",
        "to",
        "on",
        "accepted",
        "net",
    ];
    const OTHERS: [&str; 8] =
        ["forbid", "card", "sim", "imsi", "list", "selection", "manual", "reject"];
    if OTHERS.iter().any(|word| lower.contains(word)) {
        return;
    }
    let bytes = lower.as_bytes();
    let mut found = (0..bytes.len().saturating_sub(4)).filter_map(|at| {
        let digit = |i: usize| bytes.get(i).is_some_and(u8::is_ascii_digit);
        let free = at.checked_sub(1).is_none_or(|b| {
            !bytes[b].is_ascii_alphanumeric()
                && !matches!(bytes[b], b'.' | b'-' | b'/' | b':' | b'+')
                || bytes[b] == b':' && b > 0 && bytes[b - 1].is_ascii_alphabetic()
        });
        if !free || !digit(at) || !digit(at + 1) || !digit(at + 2) {
            return None;
        }
        let parted = matches!(bytes[at + 3], b'-' | b'/' | b' ');
        let from = at + 3 + usize::from(parted);
        let count = bytes[from..].iter().take_while(|b| b.is_ascii_digit()).count();
        if !matches!(count, 2 | 3)
            || !ends(&lower[from + count..])
            || lower[from + count..].starts_with([':', '/', '.'])
        {
            return None;
        }
        let before = lower[..at].trim_end_matches([' ', ':', '=', '"', '\'', '(', '.', '\t', ',']);
        let keyed = KEYS.iter().any(|key| before.ends_with(key));
        let technology =
            || ["lte", "nr", "umts", "gsm", "5g", "band", "tac"].iter().any(|w| lower.contains(w));
        let sure = keyed || parted && bytes[at + 3] == b'-' && technology();
        let code = lower[at..at + 3]
            .parse::<u16>()
            .ok()
            .filter(|mcc| matches!(mcc, 1 | 200..=799 | 901 | 999));
        (sure && code.is_some()).then_some((at, from, count))
    });
    if let (Some((at, from, count)), None) = (found.next(), found.next()) {
        let span = Span::new(base + at, base + from + count);
        for (quantity, word) in
            [(Quantity::Mcc, &lower[at..at + 3]), (Quantity::Mnc, &lower[from..from + count])]
        {
            facts.push(Fact::word(quantity, word.into(), Cell::Serving), span);
        }
    }
}

/// The access point name behind its key.
fn access_point(line: &str, lower: &str, base: usize, facts: &mut Facts) {
    let labels = ["apn", "dnn", "access point", "access point name", "accesspoint", "zugangspunkt"];
    let found = labels.iter().find_map(|label| only(labelled(lower, label)));
    let Some(found) = found else { return };
    let value = &line[found.value_at..];
    let name = value
        .split(|c: char| !(c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_')))
        .next()
        .unwrap_or("")
        .trim_end_matches('.');
    let words = [
        "none",
        "null",
        "empty",
        "not",
        "unset",
        "is",
        "default",
        "automatic",
        "auto",
        "the",
        "of",
        "for",
        "name",
        "unknown",
        "wrong",
        "and",
        "or",
        "to",
    ];
    let quoted = line[..found.value_at].ends_with(['"', '\'']);
    let plausible = name.len() >= 2
        && name.bytes().any(|b| b.is_ascii_alphabetic())
        && !words.contains(&&*name.to_ascii_lowercase())
        && value[name.len()..].trim_start().starts_with(|c: char| !c.is_alphabetic())
            | value[name.len()..].trim().is_empty()
            | quoted
            | line[..found.value_at].ends_with('=');
    if plausible {
        let span = Span::new(base + found.value_at, base + found.value_at + name.len());
        facts.push(Fact::word(Quantity::Apn, name.into(), Cell::Serving), span);
    }
}

#[cfg(test)]
mod tests;
