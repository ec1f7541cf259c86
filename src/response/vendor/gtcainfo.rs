//! `+GTCAINFO`: the carriers of an aggregation, primary and secondary, in rows below the header.
//!
//! ```text
//! PCC:<band>,<PCI>,<channel>,<DL width>,<UL width>,<DL MIMO>,…,<RSRP>
//! SCC 1:<state>,<UL configured>,<band>,<PCI>,<channel>,<DL width>,<UL width>,…,<RSRP>
//! ```
//!
//! The channel is decimal even where `+GTCCINFO` prints hexadecimal digits. Another layout, rows
//! of bare numbers, is known to exist; its columns are not.

use crate::case::{Cell, Facts, Quantity, Rat};
use crate::response::bands;
use crate::response::fact_writer::FactWriter;
use crate::response::scale;
use crate::response::{Family, Read, Response, fields};

pub(super) static FAMILY: Family = Family {
    heads: &["+GTCAINFO"],
    request: "+GTCAINFO?",
    source: "maker's command",
    about: "the carriers of an aggregation",
    yields: &[
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::NrArfcn,
        Quantity::Uarfcn,
        Quantity::Pci,
        Quantity::BandwidthMhz,
        Quantity::UplinkBandwidthMhz,
        Quantity::Rsrp,
    ],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let lines = reply.tail.iter().map(|line| (line.text, line.span.start));
    for (text, at) in std::iter::once((reply.body, reply.body_at)).chain(lines) {
        carrier(&mut pen, text, at);
    }
    pen.done()
}

/// Whether a line begins the reply.
pub(super) fn begins(line: &str) -> bool {
    line.strip_prefix("PCC:").is_some_and(|rest| {
        rest.split(',').count() >= 6 && rest.trim_start().starts_with(|c: char| c.is_ascii_digit())
    })
}

fn carrier(pen: &mut FactWriter<'_>, text: &str, at: usize) {
    let Some((label, values)) = text.split_once(':') else { return };
    let label = label.trim().to_ascii_uppercase();
    let (cell, first) = match label.get(..3) {
        Some("PCC") => (Cell::Serving, 0),
        Some("SCC") => (Cell::Secondary, 2),
        _ => return,
    };
    let row = fields(values, at + text.len() - values.len());
    if row.len() < first + 6 {
        return;
    }
    let Some((rat, number)) = row[first].text.parse().ok().and_then(bands::offset) else { return };
    pen.turn_to(cell);
    pen.value(Quantity::Band, f64::from(number), row[first].span);
    pen.plain(Quantity::Pci, row.get(first + 1));
    pen.channel(rat, row.get(first + 2));
    if rat == Rat::Lte {
        pen.resource_blocks(Quantity::BandwidthMhz, row.get(first + 3));
        pen.resource_blocks(Quantity::UplinkBandwidthMhz, row.get(first + 4));
    }
    // The level is in dBm where it has a sign, else an index.
    let level = row.last();
    if level.and_then(|f| f.decimal()).is_some_and(|v| v < 0.0) {
        pen.plain(Quantity::Rsrp, level);
    } else if row.len() >= first + 10 {
        pen.level(Quantity::Rsrp, level, if rat == Rat::Nr { scale::SS_RSRP } else { scale::RSRP });
    }
}

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity};
    use crate::response::sample::{numbers, of_block, says};

    #[test]
    fn primary_and_secondary_carriers_are_told_by_their_label() {
        let rows =
            ["PCC:103,280,1424,75,75,1,1,1,3,-107", "SCC 1:2,0,101,62,200,50,255,1,255,1,255,-99"];
        let found = of_block("+GTCAINFO", "", &rows);
        assert_eq!(numbers(&found, Quantity::Band), [3.0]);
        assert_eq!(numbers(&found, Quantity::Earfcn), [1424.0]);
        assert_eq!(numbers(&found, Quantity::BandwidthMhz), [15.0]);
        assert_eq!(numbers(&found, Quantity::Rsrp), [-107.0]);
        assert!(says(&found, &Fact::number(Quantity::Rsrp, -99.0, Cell::Secondary)));
        assert!(says(&found, &Fact::number(Quantity::Earfcn, 200.0, Cell::Secondary)));
    }

    #[test]
    fn an_unsigned_level_is_an_index() {
        let found = of_block("+GTCAINFO", "", &["PCC:103,280,1424,75,75,1,1,1,3,45"]);
        assert_eq!(numbers(&found, Quantity::Rsrp), [-96.0]);
    }
}
