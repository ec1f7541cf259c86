//! Numbers behind the labels of the trade, as a device's page, a program's log or a person tells them.
//!
//! ```text
//! RSRP: -102 dBm, RSRQ: -13 dB      "sinr": "4.2 dB"      rsrp -89      prx.rsrp=-126 drx.rsrp=-88
//! LTE band 3, EARFCN 1300, PCI 212, tac 0x1771      RSRP / RSRQ : -99 / -12      -91 dBm RSRP
//! ```
//!
//! Common practice, no source. In a sentence, and where a number could be an index, the unit is asked for. Numbers of
//! other cells, of limits and of the past are left out; where one line has several of a kind and does not say whose
//! they are, none is taken.

use super::labels::{Found, Kind, find, number};
use super::scope::has;
use crate::case::{Cell, Fact, Facts, Quantity, ReportedBy};
use crate::reference::bands::{lte_band, nr_band};
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;
use compact_str::CompactString;

/// Which branch of the receiver a label names.
fn port(before: &str) -> Option<u8> {
    let before = before.replace(['.', '_', '-'], " ");
    if has(&before, words_of(List::SecondBranch)) {
        Some(1)
    } else if has(&before, words_of(List::FirstBranch)) {
        Some(0)
    } else {
        None
    }
}

/// Reads a line; `lower` is it in small letters, `base` where it begins.
pub(super) fn read(lower: &str, by: ReportedBy, base: usize, facts: &mut Facts) {
    if !lower.bytes().any(|b| b.is_ascii_digit()) {
        return;
    }
    let found = find(lower, by);
    if by == ReportedBy::Host && found.is_empty() {
        no_value(lower, base, facts);
    }
    for (at, one) in found.iter().enumerate() {
        let span = Span::new(base + one.start, base + one.end);
        let same = |other: &&Found<'_>| other.kind == one.kind;
        let branch = port(one.before);
        if let (Kind::Level(quantity, _), Some(port)) = (one.kind, branch) {
            if let Some(value) = number(one.text) {
                let (low, high) = quantity.range();
                if (low..=high).contains(&value) {
                    facts.push(Fact::Port(port, quantity, Some(value)), span);
                }
            }
            continue;
        }
        // Of several cells in a line none is known for the serving one.
        let others = found.iter().filter(same).filter(|f| port(f.before).is_none());
        if others.count() > 1 && found.iter().filter(same).any(|f| f.text != one.text)
            || found[..at].iter().any(|f| f.kind == one.kind)
        {
            continue;
        }
        note(one, span, facts);
    }
}

/// `rssi   no value`, `rsrp=none`: the level was asked for and there is none.
fn no_value(lower: &str, base: usize, facts: &mut Facts) {
    let body = lower.trim();
    for (label, quantity) in [("rssi", Quantity::Rssi), ("rsrp", Quantity::Rsrp)] {
        let Some(rest) = body.strip_prefix(label) else { continue };
        let value = rest.trim_start_matches([' ', '\t', ':', '=', '.', '|']);
        let none = ["no value", "none", "no signal"].iter().any(|w| value.starts_with(w));
        if none && value.len() < rest.len() {
            let start = base + (lower.len() - lower.trim_start().len());
            facts.push(
                Fact::no_value(quantity, Cell::Serving),
                Span::new(start, start + body.len()),
            );
        }
    }
}

fn note(one: &Found<'_>, span: Span, facts: &mut Facts) {
    match one.kind {
        Kind::Level(quantity, _) | Kind::Count(quantity) => {
            if let Some(value) = number(one.text) {
                facts.number(quantity, value, Cell::Serving, span);
            }
        }
        Kind::SignalQuality => match number(one.text) {
            Some(99.0) => facts.push(Fact::no_value(Quantity::Rssi, Cell::Serving), span),
            // The point of the index (TS 27.007 §8.5).
            Some(index) if (0.0..=31.0).contains(&index) && index.fract() == 0.0 => {
                facts.number(Quantity::Rssi, 2.0 * index - 113.0, Cell::Serving, span);
            }
            _ => {}
        },
        Kind::Band => {
            if let Some(band) = band(one.text) {
                facts.number(Quantity::Band, f64::from(band), Cell::Serving, span);
            }
        }
        Kind::Area => {
            if let Some(area) = area(one.text) {
                facts.push(Fact::word(Quantity::TacHex, area, Cell::Serving), span);
            }
        }
        Kind::CellIdentity => {
            if let Some(identity) = whole(one.text) {
                facts.number(Quantity::CellId, identity, Cell::Serving, span);
            }
        }
    }
}

/// A whole number, decimal or with `0x`.
#[expect(clippy::cast_precision_loss, reason = "identities have 36 bits at most")]
fn whole(text: &str) -> Option<f64> {
    let number = match text.strip_prefix("0x") {
        Some(hex) => u64::from_str_radix(hex, 16).ok()?,
        // Letters make it hexadecimal; digits alone are decimal, unless zeros fill them up.
        None if text.bytes().all(|b| b.is_ascii_digit()) => {
            text.parse().ok().filter(|_| text == "0" || !text.starts_with('0'))?
        }
        None => u64::from_str_radix(text, 16).ok()?,
    };
    (number < 1 << 36 && number > 0).then_some(number as f64)
}

/// `3`, `b20`, `n78`: a band that a technology has.
pub(super) fn band(text: &str) -> Option<u16> {
    let digits =
        text.trim_start_matches("lte").trim_start_matches("eutran").trim_start_matches(['-', '_']);
    if let Some(nr) = digits.strip_prefix('n') {
        return nr.parse().ok().filter(|n| nr_band(*n).is_some());
    }
    digits.strip_prefix('b').unwrap_or(digits).parse().ok().filter(|n| lte_band(*n).is_some())
}

/// An area code as hexadecimal digits: with letters, zeros before it or `0x` it is hexadecimal already; a number of
/// five digits, or of digits only in decimal range, is not told apart and left out.
fn area(text: &str) -> Option<CompactString> {
    let marked = text.strip_prefix("0x").or_else(|| text.strip_suffix('h'));
    let (digits, marked) = marked.map_or((text, false), |hex| (hex, true));
    let hex = digits.bytes().all(|b| b.is_ascii_hexdigit());
    let lettered = digits.bytes().any(|b| b.is_ascii_alphabetic());
    let padded = digits.starts_with('0');
    let fits = matches!(digits.len(), 1..=6);
    (hex && fits && (marked || lettered || padded && digits.len() >= 4))
        .then(|| digits.to_ascii_uppercase().into())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_by(line: &str, by: ReportedBy) -> Vec<(Quantity, f64)> {
        let mut facts = Facts::default();
        read(&line.to_ascii_lowercase(), by, 0, &mut facts);
        let number = |fact: &Fact| fact.as_number().map(|(quantity, value, _)| (quantity, value));
        facts.drain().filter_map(|(fact, _)| number(&fact)).collect()
    }

    fn levels(line: &str) -> Vec<(Quantity, f64)> {
        read_by(line, ReportedBy::Host)
    }

    #[test]
    fn a_number_behind_its_label_is_read_in_every_layout() {
        use Quantity::{Band, CellId, Earfcn, EcNo, Pci, Rsrp, Rsrq, Rssi, Sinr};
        for (line, values) in [
            (
                "RSRP: -102 dBm, RSRQ: -13.5dB, SNR = 4.2 dB",
                &[(Rsrp, -102.0), (Rsrq, -13.5), (Sinr, 4.2)][..],
            ),
            ("{\"rssi\": \"-71dBm\"}", &[(Rssi, -71.0)]),
            ("<rsrp>-99dBm</rsrp>", &[(Rsrp, -99.0)]),
            ("Ec/Io   -7 dB", &[(EcNo, -7.0)]),
            ("RSRP (dBm): -97", &[(Rsrp, -97.0)]),
            ("lte.rsrp                      -90 dBm", &[(Rsrp, -90.0)]),
            (
                "cell: rsrp -96 rsrq -11 sinr 7 | probe 3/3",
                &[(Rsrp, -96.0), (Rsrq, -11.0), (Sinr, 7.0)],
            ),
            ("RSRP / RSRQ : -99 / -12", &[(Rsrp, -99.0), (Rsrq, -12.0)]),
            ("Signal ....... -91 dBm RSRP, -11 dB RSRQ", &[(Rsrp, -91.0), (Rsrq, -11.0)]),
            ("4G RSRP -97dBm", &[(Rsrp, -97.0)]),
            ("ss_rsrp: -80", &[(Rsrp, -80.0)]),
            ("+CSQ: 2 -- see above", &[]),
            ("csq=17", &[(Rssi, -79.0)]),
            ("lte, band 3, earfcn 1300, pci 212", &[(Band, 3.0), (Earfcn, 1300.0), (Pci, 212.0)]),
            ("band: n78", &[(Band, 78.0)]),
            ("cell-id       27447297", &[(CellId, 27_447_297.0)]),
        ] {
            assert_eq!(levels(line), values, "{line}");
        }
    }

    #[test]
    fn branches_of_the_receiver_are_told_apart() {
        let mut facts = Facts::default();
        read("prx.rsrp=-126 drx.rsrp=-88", ReportedBy::Host, 0, &mut facts);
        let ports: Vec<_> = facts.drain().map(|(fact, _)| fact).collect();
        assert!(ports.contains(&Fact::Port(0, Quantity::Rsrp, Some(-126.0))), "{ports:?}");
        assert!(ports.contains(&Fact::Port(1, Quantity::Rsrp, Some(-88.0))), "{ports:?}");
    }

    #[test]
    fn explanations_indices_limits_and_other_cells_are_none() {
        for line in [
            "RSRP below -110 dBm is weak",
            "RSRP: -90 dBm to -105 dBm is fair",
            "RSRP: -110 dBm or less",
            "rsrp 48",
            "RSRP > -100",
            "min rsrp -120, max rsrp -90",
            "neighbour RSRP: -97 dBm",
            "RSRQ: -13 dBm",
            "RSRP: --97 dBm",
            "rsrp: . dbm",
            "wlan0 rssi -80dBm",
            "5G RSRP: -98 dBm, LTE RSRP: -110 dBm",
            "bands supported: 3, 7",
            "band 3, 7",
            "signal 60 %, csq 60 %",
            "rsrp_index: 48",
        ] {
            assert_eq!(levels(line), [], "{line}");
        }
    }

    #[test]
    fn in_a_sentence_the_unit_is_asked_for() {
        let said = |line| read_by(line, ReportedBy::Person);
        assert_eq!(said("it shows RSRP of -102 dBm on the roof"), [(Quantity::Rsrp, -102.0)]);
        assert_eq!(said("it shows rsrp -102 on band 3"), []);
        assert_eq!(
            said("sie zeigt RSRP = -121 dBm, und das Handy hat -80 dBm RSRP, my phone"),
            [(Quantity::Rsrp, -121.0)]
        );
        assert_eq!(said("my phone has an RSRP of -80 dBm, and that is good"), []);
    }

    #[test]
    fn area_codes_are_hexadecimal_only_where_they_say_so() {
        assert_eq!(area("0x1771").as_deref(), Some("1771"));
        assert_eq!(area("9c41").as_deref(), Some("9C41"));
        assert_eq!(area("0007").as_deref(), Some("0007"));
        assert_eq!(area("4660"), None);
    }
}
