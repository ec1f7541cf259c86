//! `+GTCCINFO`: the serving cell and its neighbours in rows below the header.
//!
//! ```text
//! 1,<rat>,MCC,MNC,TAC,cell,channel,PCI,band,width,<SINR>,<rxlev>,RSRP,RSRQ
//! 2,<rat>,MCC,MNC,TAC,cell,channel,PCI,[width],rxlev,RSRP,RSRQ
//! ```
//!
//! Channel and PCI are hexadecimal with some firmware and decimal with other, without a mark: only
//! a letter among the digits, or the band that the channel must lie in, tells.

use crate::case::{Cell, Facts, Quantity, Rat};
use crate::response::bands;
use crate::response::fact_writer::FactWriter;
use crate::response::scale;
use crate::response::{Family, Field, Read, Response, fields};

pub(super) static FAMILY: Family = Family {
    heads: &["+GTCCINFO"],
    request: "+GTCCINFO?",
    source: "maker's command",
    about: "serving and neighbour cells with their levels",
    yields: &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Sinr,
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::NrArfcn,
        Quantity::Pci,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Mcc,
        Quantity::Mnc,
        Quantity::BandwidthMhz,
    ],
    read,
};

#[derive(Clone, Copy, PartialEq)]
enum Base {
    Decimal,
    Hexadecimal,
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let mut base = None;
    let lines = reply.tail.iter().map(|line| (line.text, line.span.start));
    for (text, at) in std::iter::once((reply.body, reply.body_at)).chain(lines) {
        row(&mut pen, &fields(text, at), &mut base);
    }
    pen.done()
}

/// Whether a line is a row of the reply: a number of fields that hold digits and nothing else.
pub(super) fn begins(line: &str) -> bool {
    let head = ["1,4,", "1,9,", "2,4,", "2,9,"].iter().any(|h| line.starts_with(h));
    head && line.split(',').count() >= 10
        && line.trim_end().bytes().all(|b| b.is_ascii_hexdigit() || matches!(b, b',' | b'-'))
}

fn row(pen: &mut FactWriter<'_>, row: &[Field<'_>], base: &mut Option<Base>) {
    if row.len() < 10 {
        return;
    }
    let serving = match row[0].text {
        "1" => true,
        "2" => false,
        _ => return,
    };
    let rat = match row[1].text {
        "4" => Rat::Lte,
        "9" => Rat::Nr,
        _ => return,
    };
    pen.turn_to(if serving { Cell::Serving } else { Cell::Neighbour });
    let (rsrp, rsrq) = match rat {
        Rat::Nr => (scale::SS_RSRP, scale::SS_RSRQ),
        _ => (scale::RSRP, scale::RSRQ),
    };
    pen.network(row.get(2), row.get(3));
    pen.area_hex(row.get(4));
    pen.cell_hex(row.get(5));
    if serving && row.len() == 14 {
        let known = row[8].text.parse().ok().and_then(bands::offset).filter(|(r, _)| *r == rat);
        if let Some((_, number)) = known {
            pen.value(Quantity::Band, f64::from(number), row[8].span);
        }
        *base = told_by(&row[6], &row[7], rat, known.map(|(_, b)| b));
        if rat == Rat::Lte {
            pen.resource_blocks(Quantity::BandwidthMhz, row.get(9));
        }
        if !row[10].is_blank() {
            let why = "the unit of this field is not known";
            pen.doubt(Quantity::Sinr, None, why, row[10].span);
        }
    }
    let channel = if rat == Rat::Nr { Quantity::NrArfcn } else { Quantity::Earfcn };
    match base {
        Some(Base::Decimal) => {
            pen.plain(channel, row.get(6));
            pen.plain(Quantity::Pci, row.get(7));
        }
        Some(Base::Hexadecimal) => {
            pen.hex(channel, row.get(6));
            pen.hex(Quantity::Pci, row.get(7));
        }
        None => {}
    }
    // Rows differ in length; the levels always stand at the end.
    pen.level(Quantity::Rsrp, row.get(row.len() - 2), rsrp);
    pen.level(Quantity::Rsrq, row.last(), rsrq);
}

/// The base of channel and PCI, where the text or the band leaves one alone.
fn told_by(channel: &Field<'_>, pci: &Field<'_>, rat: Rat, number: Option<u16>) -> Option<Base> {
    let letters = |f: &Field<'_>| f.text.bytes().any(|b| b.is_ascii_alphabetic());
    if letters(channel) || letters(pci) {
        return Some(Base::Hexadecimal);
    }
    let decimal = channel.text.parse::<u32>().ok()?;
    let hexadecimal = u32::try_from(channel.hex()?).ok()?;
    if rat == Rat::Nr {
        let (_, last) = Quantity::NrArfcn.range();
        return (f64::from(hexadecimal) > last).then_some(Base::Decimal);
    }
    let holds = |n| bands::holds_channel(number?, n);
    match (holds(decimal)?, holds(hexadecimal)?) {
        (true, false) => Some(Base::Decimal),
        (false, true) => Some(Base::Hexadecimal),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity};
    use crate::response::sample::{numbers, of_block, says};

    #[test]
    fn the_band_tells_the_base_of_the_channel() {
        let hex = of_block(
            "+GTCCINFO",
            "",
            &["LTE service cell:", "1,4,001,01,37A6,DEF7A00,672,1E4,103,100,44,63,63,24"],
        );
        assert_eq!(numbers(&hex, Quantity::Earfcn), [1650.0]);
        assert_eq!(numbers(&hex, Quantity::Pci), [484.0]);
        assert_eq!(numbers(&hex, Quantity::Band), [3.0]);
        assert_eq!(numbers(&hex, Quantity::Rsrp), [-78.0]);
        assert_eq!(numbers(&hex, Quantity::Rsrq), [-8.0]);
        let decimal =
            of_block("+GTCCINFO", "", &["1,4,001,01,B74E,00AB32000,1424,280,103,75,-1,33,33,17"]);
        assert_eq!(numbers(&decimal, Quantity::Earfcn), [1424.0]);
        assert_eq!(numbers(&decimal, Quantity::Pci), [280.0]);
        assert_eq!(numbers(&decimal, Quantity::BandwidthMhz), [15.0]);
    }

    #[test]
    fn a_neighbour_row_is_counted_from_its_end() {
        let found = of_block(
            "+GTCCINFO",
            "",
            &[
                "1,4,999,01,B74E,00AB32000,1424,280,103,75,-1,33,33,17",
                "2,4,,,FFFF,00FFFFFFF,3048,454,,25,25,14",
            ],
        );
        assert!(says(&found, &Fact::number(Quantity::Rsrp, -116.0, Cell::Neighbour)));
        assert!(says(&found, &Fact::number(Quantity::Rsrq, -13.0, Cell::Neighbour)));
        assert!(says(&found, &Fact::number(Quantity::Earfcn, 3048.0, Cell::Neighbour)));
    }

    #[test]
    fn nr_rows_use_their_own_steps() {
        let found =
            of_block("+GTCCINFO", "", &["1,9,,,FFFFFFF,00FFFFFFF,641760,940,5078,450,19,76,76,84"]);
        assert_eq!(numbers(&found, Quantity::Rsrp), [-81.0]);
        assert_eq!(numbers(&found, Quantity::Rsrq), [-1.5]);
        assert_eq!(numbers(&found, Quantity::NrArfcn), [641_760.0]);
    }
}
