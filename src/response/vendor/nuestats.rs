//! `+NUESTATS`: statistics of the radio, a `key:value` a line, in tenths of dBm and dB.
//!
//! ```text
//! Signal power:-758            NUESTATS:RADIO,Signal power,-758
//! ```
//!
//! Without a cell the levels are what stood there last, or a floor: then they are no values.

use super::family;
use crate::case::{Cell, Fact, Facts, Quantity};
use crate::response::columns::{BodyLine, CELL_DECIMAL, Column, plain, tenths, whole};
use crate::response::{Family, Field, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family = family(
    &["+NUESTATS"],
    "+NUESTATS",
    "levels, cell and coverage level of NB-IoT",
    &[
        Quantity::Rsrp,
        Quantity::Rssi,
        Quantity::TxPower,
        Quantity::Sinr,
        Quantity::Rsrq,
        Quantity::CellId,
        Quantity::Earfcn,
        Quantity::Pci,
        Quantity::Band,
        Quantity::CoverageLevel,
    ],
    read,
);

/// The keys that are kept, and their columns.
const KEYS: &[(&str, Column)] = &[
    ("signal power", tenths(Quantity::Rsrp)),
    ("total power", tenths(Quantity::Rssi)),
    ("tx power", tenths(Quantity::TxPower)),
    ("snr", tenths(Quantity::Sinr)),
    ("rsrq", tenths(Quantity::Rsrq)),
    ("cell id", CELL_DECIMAL),
    ("earfcn", plain(Quantity::Earfcn)),
    ("pci", plain(Quantity::Pci)),
    ("current band", plain(Quantity::Band)),
    ("ecl", plain(Quantity::CoverageLevel)),
];

/// Whether a line begins the response.
pub(super) fn begins(line: &str) -> bool {
    let rest = line.strip_prefix("NUESTATS:RADIO,").unwrap_or(line);
    rest.get(..13).is_some_and(|w| w.eq_ignore_ascii_case("signal power:"))
        || rest.len() < line.len()
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let found: Vec<_> = reply.lines().filter_map(statistic).collect();
        let zero = |key: &str| found.iter().any(|(k, f, _)| k == key && f.text == "0");
        let camped = !(zero("cell id") && zero("earfcn"));
        let mut read = false;
        for (key, field, open) in &found {
            let Some((_, column)) = KEYS.iter().find(|(k, _)| k == key) else {
                continue;
            };
            read |= match column {
                Column::Number(quantity, crate::response::scale::Scale::Parts(_)) if !camped => {
                    w.fact(Fact::no_value(*quantity, Cell::Serving), field.span);
                    true
                }
                _ => w.labelled(*column, field, *open),
            };
        }
        let empty = reply.body.is_empty() && reply.continuation.is_empty();
        if read || empty { Ok(()) } else { Err(reply.no_form(0)) }
    })
}

/// The key of a line, small letters, and its value.
fn statistic(line: BodyLine<'_>) -> Option<(String, Field<'_>, bool)> {
    let cut = line.text.rfind([':', ',']).filter(|at| *at > 0)?;
    let value = line.text[cut + 1..].trim();
    let start = line.at + line.text.len() - line.text[cut + 1..].trim_start().len();
    let span = Span::new(start, start + value.len());
    let key = line.text[..cut].rsplit([':', ',']).next().unwrap_or("").trim().to_ascii_lowercase();
    Some((key, Field { text: value, quoted: false, span }, line.open))
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "+NUESTATS:\nSignal power:-758\nTotal power:-690\nTX power:-32768\nSNR:132\nCell ID:27447553\nECL:0\nEARFCN:3518\nPCI:22\nRSRQ:-108",
];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of_block};

    #[test]
    fn statistics_are_tenths() {
        let rows = [
            "Signal power:-758",
            "Total power:-690",
            "TX power:-32768",
            "SNR:132",
            "EARFCN:3518",
            "PCI:22",
            "RSRQ:-108",
        ];
        let found = of_block("+NUESTATS", "", &rows);
        assert_eq!(numbers(&found, Quantity::Rsrp), [-75.8]);
        assert_eq!(numbers(&found, Quantity::Sinr), [13.2]);
        assert_eq!(numbers(&found, Quantity::Rsrq), [-10.8]);
        assert!(numbers(&found, Quantity::TxPower).is_empty());
        assert_eq!(numbers(&found, Quantity::Pci), [22.0]);
    }

    #[test]
    fn without_a_cell_no_level_is_one() {
        let rows = ["Signal power:-1340", "Cell ID:0", "ECL:255", "SNR:-300", "EARFCN:0", "PCI:0"];
        let found = of_block("+NUESTATS", "", &rows);
        assert!(numbers(&found, Quantity::Rsrp).is_empty());
        assert!(numbers(&found, Quantity::Sinr).is_empty());
    }

    #[test]
    fn the_form_with_a_section_is_the_same() {
        let found = of_block("+NUESTATS", "RADIO,Signal power,-912", &[]);
        assert_eq!(numbers(&found, Quantity::Rsrp), [-91.2]);
        let bare = of_block("+NUESTATS", "", &["NUESTATS:RADIO,SNR,-24"]);
        assert_eq!(numbers(&bare, Quantity::Sinr), [-2.4]);
    }
}
