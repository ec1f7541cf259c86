//! `+GTCAINFO`: the carriers of an aggregation, primary and secondary, in rows below the prefix.
//!
//! ```text
//! PCC:<band>,<PCI>,<channel>,<DL width>,<UL width>,<DL MIMO>,…,<RSRP>
//! SCC 1:<state>,<UL configured>,<band>,<PCI>,<channel>,<DL width>,<UL width>,…,<RSRP>
//! ```
//!
//! The channel is decimal even where `+GTCCINFO` prints hexadecimal digits. Another layout, rows
//! of bare numbers, is known to exist; its columns are not.

use super::family;
use crate::case::{Cell, Facts, Quantity, Rat};
use crate::response::bands;
use crate::response::columns::{BLOCKS, BodyLine, Column, UPLINK_BLOCKS, plain, whole};
use crate::response::fact_writer::{FactWriter, Taken, channel_quantity, number};
use crate::response::grammar::FieldError;
use crate::response::{Family, Field, Read, Response, fields, scale};
use Column::{Figure, Own};

pub(super) static FAMILY: Family = family(
    &["+GTCAINFO"],
    "+GTCAINFO?",
    "the carriers of an aggregation",
    &[
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
);

const BAND: Column = Own(|w, f| {
    let (_, number) = f.text.parse().ok().and_then(bands::offset).ok_or("a band code")?;
    w.value(Quantity::Band, f64::from(number), f.span);
    Ok(())
});

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let carriers = reply.lines().filter_map(carrier);
        let results: Vec<_> = carriers.map(|(cell, line)| row(w, reply, cell, line)).collect();
        results.into_iter().reduce(Result::or).unwrap_or(Ok(()))
    })
}

/// Whether a line begins the response.
pub(super) fn begins(line: &str) -> bool {
    line.strip_prefix("PCC:").is_some_and(|rest| {
        rest.split(',').count() >= 6 && rest.trim_start().starts_with(|c: char| c.is_ascii_digit())
    })
}

/// The carrier that a line is about, and its values.
fn carrier(line: BodyLine<'_>) -> Option<(Cell, BodyLine<'_>)> {
    let (label, values) = line.text.split_once(':')?;
    let label = label.trim().to_ascii_uppercase();
    let number = label.strip_prefix("SCC").map(str::trim);
    let cell = match number {
        Some(n) if n.bytes().all(|b| b.is_ascii_digit()) => Cell::Secondary,
        None if label == "PCC" => Cell::Serving,
        _ => return None,
    };
    Some((
        cell,
        BodyLine { text: values, at: line.at + line.text.len() - values.len(), open: line.open },
    ))
}

fn row(
    w: &mut FactWriter<'_>,
    reply: &Response<'_>,
    cell: Cell,
    line: BodyLine<'_>,
) -> Result<(), FieldError> {
    let first = if cell == Cell::Serving { 0 } else { 2 };
    let cells = fields(line.text, line.at);
    let band = cells.get(first).and_then(|f| f.text.parse().ok()).and_then(bands::offset);
    let (Some((rat, _)), true) = (band, cells.len() >= first + 10) else {
        return Err(reply.no_form(0));
    };
    let lte = rat == Rat::Lte;
    let mut form = vec![Figure; first];
    form.extend([BAND, plain(Quantity::Pci), plain(channel_quantity(rat))]);
    form.extend(if lte { [BLOCKS, UPLINK_BLOCKS] } else { [Figure; 2] });
    form.resize(cells.len() - 1, Figure);
    form.push(Own(if rat == Rat::Nr { nr_power } else { power }));
    w.turn_to(cell);
    w.line(line, &form)
}

/// The level is in dBm where it has a sign, else an index.
fn power(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let signed = number(field.text).is_some_and(|v| v < 0.0);
    w.level(Quantity::Rsrp, field, if signed { scale::Scale::Plain } else { scale::RSRP })
}

fn nr_power(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    let signed = number(field.text).is_some_and(|v| v < 0.0);
    w.level(Quantity::Rsrp, field, if signed { scale::Scale::Plain } else { scale::SS_RSRP })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "+GTCAINFO:\nPCC:103,280,1424,75,75,1,1,1,3,-107\nSCC 1:2,0,101,62,200,50,255,1,255,1,255,-99",
];

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
