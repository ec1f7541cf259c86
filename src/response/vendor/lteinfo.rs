//! `!LTEINFO`: tables of the serving cell and its neighbours, each column under its name.
//!
//! ```text
//! Serving:   EARFCN MCC MNC   TAC      CID Bd D U SNR PCI  RSRQ   RSRP   RSSI RXLV
//! IntraFreq:                                          PCI  RSRQ   RSRP   RSSI RXLV
//! InterFreq: EARFCN ThresholdLow ThresholdHi Priority PCI  RSRQ   RSRP   RSSI RXLV
//! ```
//!
//! A row with more or fewer words than its table has columns is not read.

use super::family;
use crate::case::{Cell, Facts, Quantity};
use crate::response::columns::{
    AREA_DECIMAL, BodyLine, CELL, Column, MCC, MNC, WIDTH, plain, whole,
};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Field, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family = family(
    &["!LTEINFO"],
    "!LTEINFO?",
    "serving cell and neighbours as tables",
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
        Quantity::BandwidthMhz,
        Quantity::Mcc,
        Quantity::Mnc,
    ],
    read,
);

/// The columns that are kept.
const COLUMNS: &[(&str, Column)] = &[
    ("EARFCN", plain(Quantity::Earfcn)),
    ("MCC", MCC),
    ("MNC", MNC),
    ("TAC", AREA_DECIMAL),
    ("CID", CELL),
    ("Bd", plain(Quantity::Band)),
    ("D", WIDTH),
    ("SNR", plain(Quantity::Sinr)),
    ("PCI", plain(Quantity::Pci)),
    ("RSRQ", plain(Quantity::Rsrq)),
    ("RSRP", plain(Quantity::Rsrp)),
    ("RSSI", plain(Quantity::Rssi)),
];

/// Whether a line begins the response.
pub(super) fn begins(line: &str) -> bool {
    line.strip_prefix("Serving:").is_some_and(|rest| rest.contains("EARFCN"))
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        if !["Not Available", ""].contains(&reply.body) && !begins(reply.body) {
            return Err(reply.no_form(0));
        }
        let mut table: Option<(Cell, Vec<&str>)> = None;
        for line in reply.lines() {
            if let Some((name, columns)) = line.text.trim_start().split_once(':') {
                let cell = match name {
                    "Serving" => Some(Cell::Serving),
                    // The tables of other technologies have columns of their own.
                    "InterFreq" | "IntraFreq" => Some(Cell::Neighbour),
                    _ => None,
                };
                table = cell.map(|cell| (cell, columns.split_whitespace().collect()));
            } else if let Some((cell, columns)) = &table {
                w.turn_to(*cell);
                row(w, columns, line);
            }
        }
        Ok(())
    })
}

fn row(w: &mut FactWriter<'_>, columns: &[&str], line: BodyLine<'_>) {
    // The last word of a text that ends here may be cut, and the row with it.
    if line.text.split_whitespace().count() != columns.len() || line.open {
        return;
    }
    let before = w.count();
    let mut from = 0;
    for (name, word) in columns.iter().zip(line.text.split_whitespace()) {
        let found = line.text[from..].find(word).map_or(from, |i| from + i);
        from = found + word.len();
        let start = line.at + found;
        let field = Field { text: word, quoted: false, span: Span::new(start, start + word.len()) };
        let column = COLUMNS.iter().find(|(n, _)| n == name);
        let fits = word.starts_with("--")
            || column.is_none_or(|(_, column)| w.labelled(*column, &field, false));
        if !fits {
            return w.truncate(before);
        }
    }
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "!LTEINFO:\nServing:   EARFCN MCC MNC   TAC      CID Bd D U SNR PCI  RSRQ   RSRP   RSSI RXLV\n              800 001 01 44851 0AA2508E  2 5 5  22 404 -14.1  -79.6  -45.5 --\nIntraFreq:                                          PCI  RSRQ   RSRP   RSSI RXLV\n                                                    402 -20.0  -89.3  -57.6 --",
];

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity};
    use crate::response::sample::{numbers, of_block, says};

    #[test]
    fn a_table_is_read_by_the_names_above_it() {
        let rows = [
            "Serving:   EARFCN MCC MNC   TAC      CID Bd D U SNR PCI  RSRQ   RSRP   RSSI RXLV",
            "              800 001 01 44851 0AA2508E  2 5 5  22 404 -14.1  -79.6  -45.5 --",
            "IntraFreq:                                          PCI  RSRQ   RSRP   RSSI RXLV",
            "                                                    402 -20.0  -89.3  -57.6 --",
            "WCDMA:     UARFCN PSC  RSCP",
            "             4385  84   -98",
        ];
        let found = of_block("!LTEINFO", "", &rows);
        assert_eq!(numbers(&found, Quantity::Rsrp), [-79.6]);
        assert_eq!(numbers(&found, Quantity::Band), [2.0]);
        assert_eq!(numbers(&found, Quantity::BandwidthMhz), [20.0]);
        assert!(says(&found, &Fact::number(Quantity::Rsrp, -89.3, Cell::Neighbour)));
        assert!(!found.iter().any(|f| f.as_number().is_some_and(|(_, v, _)| v == -98.0)));
    }
}
