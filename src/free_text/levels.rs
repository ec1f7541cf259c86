//! Levels as a device's page or a program's log tells them in words: a label, a number, its unit.
//!
//! ```text
//! RSRP: -102 dBm, RSRQ: -13 dB      "sinr": "4.2 dB"      <rssi>-71dBm</rssi>
//! ```
//!
//! Common practice, no source. The unit is asked for: numbers without one are indices as often.

use crate::case::{Cell, Facts, Quantity};
use crate::span::Span;

/// The labels, in small letters, and the units of their numbers.
const LABELS: [(&str, Quantity, &str); 9] = [
    ("rsrp", Quantity::Rsrp, "dbm"),
    ("rsrq", Quantity::Rsrq, "db"),
    ("sinr", Quantity::Sinr, "db"),
    ("snr", Quantity::Sinr, "db"),
    ("rssi", Quantity::Rssi, "dbm"),
    ("rscp", Quantity::Rscp, "dbm"),
    ("ec/io", Quantity::EcNo, "db"),
    ("ecio", Quantity::EcNo, "db"),
    ("ec/no", Quantity::EcNo, "db"),
];

/// Reads a line; `lower` is it in small letters, `base` where it begins.
pub(super) fn read(lower: &str, base: usize, facts: &mut Facts) {
    /// Another cell's levels, or another radio's, say nothing of the link.
    const OTHERS: [&str; 9] =
        ["neighbo", "secondary", "scc", "scell", "wifi", "wi-fi", "wlan", "bluetooth", "lora"];
    if memchr::memmem::find(lower.as_bytes(), b"db").is_none() {
        return;
    }
    if OTHERS.iter().any(|word| lower.contains(word)) {
        return;
    }
    for (label, quantity, unit) in LABELS {
        let mut all = lower.match_indices(label).filter_map(|(at, _)| {
            value(lower, at, label, unit).map(|(value, len)| (at, value, len))
        });
        // Of several cells in a line none is known for the serving one.
        if let (Some((at, value, len)), None) = (all.next(), all.next()) {
            facts.number(quantity, value, Cell::Serving, Span::new(base + at, base + at + len));
        }
    }
}

/// The number behind a label, and the length of both with the unit.
fn value(lower: &str, at: usize, label: &str, unit: &str) -> Option<(f64, usize)> {
    /// No more stands between a label and its number.
    const FEW: usize = 5;
    /// What people say in the place of a mark.
    const SPOKEN: [&str; 5] = [" is ", " of ", " at ", " around ", " about "];
    /// What makes an explanation of it: `-90 dBm to -105 dBm`, `-110 dBm or less`, `-80 dBm and better`.
    const EXPLAINS: [&str; 14] = [
        "to ",
        "or ",
        "is ",
        "-",
        "..",
        "and below",
        "and less",
        "and lower",
        "and worse",
        "and above",
        "and more",
        "and higher",
        "and better",
        "and up",
    ];
    let inside = |c: char| c.is_ascii_alphanumeric();
    if lower[..at].ends_with(inside) {
        return None;
    }
    let rest = &lower[at + label.len()..];
    let rest = SPOKEN.iter().find_map(|word| rest.strip_prefix(word)).unwrap_or(rest);
    let number = rest.trim_start_matches([' ', '\t', ':', '=', '>', '"', '\'', '|']);
    let digits = number.trim_start_matches(['-', '+']);
    let count = digits.bytes().take_while(|b| b.is_ascii_digit() || *b == b'.').count();
    let behind = digits[count..].trim_start_matches(' ').strip_prefix(unit)?;
    let explains = EXPLAINS.iter().any(|w| behind.trim_start().starts_with(w));
    if rest.len() - number.len() > FEW
        || number.len() - digits.len() > 1
        || behind.starts_with(inside)
        || explains
    {
        return None;
    }
    let end = number.len() - digits.len() + count;
    Some((number[..end].parse().ok()?, lower.len() - at - behind.len()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::Fact;

    fn levels(line: &str) -> Vec<(Quantity, f64)> {
        let mut facts = Facts::default();
        read(&line.to_ascii_lowercase(), 0, &mut facts);
        let number = |fact: &Fact| fact.as_number().map(|(quantity, value, _)| (quantity, value));
        facts.drain().filter_map(|(fact, _)| number(&fact)).collect()
    }

    #[test]
    fn a_number_with_its_unit_behind_its_label_is_a_level() {
        assert_eq!(
            levels("RSRP: -102 dBm, RSRQ: -13.5dB, SNR = 4.2 dB"),
            [(Quantity::Rsrp, -102.0), (Quantity::Rsrq, -13.5), (Quantity::Sinr, 4.2)]
        );
        assert_eq!(levels("{\"rssi\": \"-71dBm\"}"), [(Quantity::Rssi, -71.0)]);
        assert_eq!(levels("<rsrp>-99dBm</rsrp>"), [(Quantity::Rsrp, -99.0)]);
        assert_eq!(levels("Ec/Io   -7 dB"), [(Quantity::EcNo, -7.0)]);
    }

    #[test]
    fn explanations_indices_and_other_cells_are_none() {
        for line in [
            "RSRP below -110 dBm is weak",
            "RSRP: -90 dBm to -105 dBm is fair",
            "RSRP: -110 dBm or less",
            "rsrp 48",
            "RSRP (dBm): -97",
            "neighbour RSRP: -97 dBm",
            "RSRQ: -13 dBm",
            "RSRP: --97 dBm",
            "rsrp: . dbm",
            "wlan0 rssi -80dBm",
            "5G RSRP: -98 dBm, LTE RSRP: -110 dBm",
        ] {
            assert_eq!(levels(line), [], "{line}");
        }
    }
}
