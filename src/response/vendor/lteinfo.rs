//! `!LTEINFO`: tables of the serving cell and its neighbours, each column under its name.

use crate::case::{Cell, Facts, Quantity};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Field, Read, Response};
use crate::span::Span;

pub(super) static FAMILY: Family = Family {
    heads: &["!LTEINFO"],
    request: "!LTEINFO?",
    source: "maker's command",
    about: "serving cell and neighbours as tables",
    yields: &[
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
};

/// Whether a line begins the reply.
pub(super) fn begins(line: &str) -> bool {
    line.strip_prefix("Serving:").is_some_and(|rest| rest.contains("EARFCN"))
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    if ["Not Available", ""].contains(&reply.body) && reply.tail.is_empty() {
        pen.understood();
    }
    let mut table: Option<(Cell, Vec<&str>)> = None;
    for line in reply.tail {
        let text = line.text.trim_start();
        if let Some((name, columns)) = text.split_once(':') {
            let cell = match name {
                "Serving" => Some(Cell::Serving),
                // The tables of other technologies have columns of their own.
                "InterFreq" | "IntraFreq" => Some(Cell::Neighbour),
                _ => None,
            };
            table = cell.map(|cell| (cell, columns.split_whitespace().collect()));
        } else if let Some((cell, columns)) = &table {
            pen.turn_to(*cell);
            row(&mut pen, columns, line.text, line.span.start);
        }
    }
    pen.done()
}

fn row(pen: &mut FactWriter<'_>, columns: &[&str], text: &str, at: usize) {
    let mut network: Option<Field<'_>> = None;
    let mut from = 0;
    for (name, word) in columns.iter().zip(text.split_whitespace()) {
        let found = text[from..].find(word).map_or(from, |i| from + i);
        from = found + word.len();
        let start = at + found;
        let field = Field { text: word, quoted: false, span: Span::new(start, start + word.len()) };
        if word.starts_with("--") {
            continue;
        }
        match *name {
            "EARFCN" => pen.plain(Quantity::Earfcn, Some(&field)),
            "MCC" => network = Some(field),
            "MNC" => pen.network(network.as_ref(), Some(&field)),
            "TAC" => pen.area_decimal(Some(&field)),
            "CID" => pen.cell_hex(Some(&field)),
            "Bd" => pen.plain(Quantity::Band, Some(&field)),
            "D" => pen.lte_width(Quantity::BandwidthMhz, Some(&field)),
            "SNR" => pen.plain(Quantity::Sinr, Some(&field)),
            "PCI" => pen.plain(Quantity::Pci, Some(&field)),
            "RSRQ" => pen.plain(Quantity::Rsrq, Some(&field)),
            "RSRP" => pen.plain(Quantity::Rsrp, Some(&field)),
            "RSSI" => pen.plain(Quantity::Rssi, Some(&field)),
            _ => {}
        }
    }
}

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
