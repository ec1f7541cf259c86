//! `#MONI`: the cells as `key:value` pairs in a row; a network's name, which may hold blanks, stands first.
//!
//! ```text
//! <name> RSRP:-92 RSRQ:-17 TAC:<hex> Id:<hex> EARFCN:800 PWR:-54dbm DRX:1280          LTE
//! <name> BSIC:<n> RxQual:<n> LAC:<hex> Id:<hex> ARFCN:<n> PWR:-71dbm TA:<n>             GSM
//! NR_BAND:<n> NR_BW:<n> NR_CH:<n> NR_PWR:<dBm> NR_RSRP:… NR_RSRQ:… NR_PCI:… NR_SINR:…   NR
//! ```

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{AREA, BodyLine, CELL, Column, plain, whole};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Field, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family = family(
    &["#MONI"],
    "#MONI",
    "serving cell and its levels, as labelled values",
    &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Rssi,
        Quantity::Sinr,
        Quantity::Earfcn,
        Quantity::Band,
        Quantity::Pci,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::NrArfcn,
        Quantity::Arfcn,
    ],
    read,
);

const KEYS: &[(&str, Column)] = &[
    ("RSRP", plain(Quantity::Rsrp)),
    ("NR_RSRP", plain(Quantity::Rsrp)),
    ("RSRQ", plain(Quantity::Rsrq)),
    ("NR_RSRQ", plain(Quantity::Rsrq)),
    ("NR_SINR", plain(Quantity::Sinr)),
    ("PWR", plain(Quantity::Rssi)),
    ("NR_PWR", plain(Quantity::Rssi)),
    ("EARFCN", plain(Quantity::Earfcn)),
    ("NR_CH", plain(Quantity::NrArfcn)),
    ("ARFCN", plain(Quantity::Arfcn)),
    ("NR_BAND", plain(Quantity::Band)),
    ("NR_PCI", plain(Quantity::Pci)),
    ("TAC", AREA),
    ("LAC", AREA),
    ("ID", CELL),
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(
        reply,
        facts,
        |w, reply| {
            if pairs(w, reply, KEYS) { Ok(()) } else { Err(reply.no_form(0)) }
        },
    )
}

/// Reads the pairs of a body by their keys; whether any value was read.
pub(super) fn pairs(w: &mut FactWriter<'_>, reply: &Response<'_>, keys: &[(&str, Column)]) -> bool {
    let line = BodyLine { text: reply.body, at: reply.body_at, open: reply.open };
    let mut read = false;
    let mut from = 0;
    for word in line.text.split_inclusive(' ') {
        let end = from + word.len();
        if let Some((key, value)) = word.trim_end().split_once(':') {
            let start = line.at + from + key.len() + 1;
            let span = Span::new(start, start + value.len());
            let field = Field { text: value, quoted: false, span };
            if let Some((_, column)) = keys.iter().find(|(k, _)| k.eq_ignore_ascii_case(key)) {
                read |= w.labelled(*column, &field, line.open && end == line.text.len());
            }
        }
        from = end;
    }
    read
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] =
    &["#MONI: Ember Mobile RSRP:-92 RSRQ:-17 TAC:853A Id:8AA802 EARFCN:800 PWR:-54dbm DRX:1280"];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn names_with_blanks_are_stepped_over_and_units_left_aside() {
        let found = of(
            "#MONI",
            "Ember Mobile RSRP:-92 RSRQ:-17 TAC:853A Id:8AA802 EARFCN:800 PWR:-54dbm DRX:1280",
        );
        assert_eq!(numbers(&found, Quantity::Rsrp), [-92.0]);
        assert_eq!(numbers(&found, Quantity::Rssi), [-54.0]);
        assert_eq!(numbers(&found, Quantity::CellId), [9_086_978.0]);
    }
}
