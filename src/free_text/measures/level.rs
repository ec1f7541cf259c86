//! Levels behind, between and before their labels, with or without a unit.

use super::{Labelled, ends, labelled, number, only};
use crate::case::{Cell, Fact, Facts, Quantity};
use crate::span::Span;

/// Labels of levels, the last word of their key.
const LEVELS: [(&str, Quantity, &str); 8] = [
    ("rsrp", Quantity::Rsrp, "dbm"),
    ("rsrq", Quantity::Rsrq, "db"),
    ("sinr", Quantity::Sinr, "db"),
    ("snr", Quantity::Sinr, "db"),
    ("rssi", Quantity::Rssi, "dbm"),
    ("rscp", Quantity::Rscp, "dbm"),
    ("ecio", Quantity::EcNo, "db"),
    ("ecno", Quantity::EcNo, "db"),
];

/// Levels of the serving cell, and of single antenna branches.
pub(super) fn read(lower: &str, base: usize, facts: &mut Facts) {
    for (label, quantity, unit) in LEVELS {
        let mut serving = Vec::new();
        let mut places: Vec<Labelled<'_>> = beside(lower, label).collect();
        if places.is_empty() {
            places.extend(labelled(lower, label));
        }
        for found in places {
            let Some((value, len)) = level(found.value, quantity, unit) else { continue };
            let span = found.span(base, len);
            match branch(found.key) {
                Some(port) => {
                    let (low, high) = quantity.range();
                    if (low..=high).contains(&value) {
                        facts.push(Fact::Port(port, quantity, Some(value)), span);
                    }
                }
                None => serving.push((value, span)),
            }
        }
        if serving.is_empty() {
            serving.extend(
                only(before(lower, label, unit))
                    .map(|(value, span)| (value, Span::new(base + span.start, base + span.end))),
            );
        }
        if let [(value, span)] = serving[..] {
            facts.number(quantity, value, Cell::Serving, span);
        }
    }
}

/// A level at the start of a text and its length. Without its unit it must have its sign; a ratio need not.
fn level(text: &str, quantity: Quantity, unit: &str) -> Option<(f64, usize)> {
    let (value, len, behind) = number(text)?;
    let rest = behind.trim_start_matches(' ');
    let unit = rest.strip_prefix(unit).filter(|rest| ends(rest));
    let plain = unit.is_none() && ends(behind) && !rest.starts_with("db");
    let fits =
        unit.is_some() || plain && (value < 0.0 || quantity == Quantity::Sinr && value <= 40.0);
    let rest = unit.unwrap_or(behind).trim_start();
    let explains = ["to ", "or ", "..", "and ", "- "].iter().any(|word| rest.starts_with(word));
    (fits && !explains).then_some((value, len))
}

/// The antenna branch that a key names: 0 the main one, 1 the other.
fn branch(key: &str) -> Option<u8> {
    key.split(['.', '_', '-']).find_map(|part| match part {
        "prx" | "main" | "rx0" | "ant0" => Some(0),
        "drx" | "div" | "diversity" | "aux" | "rx1" | "ant1" => Some(1),
        _ => None,
    })
}

/// `RSRP / RSRQ : -99 / -12`: two labels and their values in the same order.
fn beside<'t>(lower: &'t str, label: &'static str) -> impl Iterator<Item = Labelled<'t>> {
    lower.match_indices(label).filter_map(move |(at, _)| {
        let word = |c: char| c.is_ascii_alphanumeric() || c == '_';
        let behind = lower[at + label.len()..].trim_start();
        let first = behind.strip_prefix('/').map(|rest| rest.trim_start().trim_start_matches(word));
        let second = lower[..at].trim_end().strip_suffix('/').is_some();
        let rest = if second { behind } else { first? };
        let mark = [' ', '\t', ':', '=', '"', '.', '|'];
        let values = rest.trim_start_matches(mark);
        let (one, two) = values.split_once('/')?;
        let value = if second { two.trim_start() } else { one };
        let other = if second { one } else { two.trim_start() };
        let numbers = number(value).is_some() && number(other).is_some();
        (numbers && values.len() < rest.len()).then(|| Labelled {
            key: &lower[at..at + label.len()],
            at,
            value,
            value_at: value.as_ptr() as usize - lower.as_ptr() as usize,
        })
    })
}

/// `-91 dBm RSRP`: the number and its unit before the label.
fn before<'t>(
    lower: &'t str,
    label: &'static str,
    unit: &'static str,
) -> impl Iterator<Item = (f64, Span)> + 't {
    lower.match_indices(label).filter_map(move |(at, _)| {
        let head = lower[..at].trim_end_matches([' ', '(']).strip_suffix(unit)?.trim_end();
        let from = head.trim_end_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | '-'));
        let closed = lower[at + label.len()..]
            .trim_start_matches([')', ' '])
            .starts_with(|c: char| matches!(c, ',' | ';' | '.' | '|' | ')'))
            || lower[at + label.len()..].trim_matches([')', ' ']).is_empty();
        let free = from.is_empty() || from.ends_with([' ', ':', ',', '=', '(', '\t']);
        let (value, len, rest) = number(&head[from.len()..])?;
        (closed && free && rest.is_empty() && value < 60.0)
            .then(|| (value, Span::new(from.len(), from.len() + len)))
    })
}
