//! `+GTCCINFO`: the serving cell and its neighbours in rows below the prefix.
//!
//! ```text
//! 1,<rat>,MCC,MNC,TAC,cell,channel,PCI,band,width,<SINR>,<rxlev>,RSRP,RSRQ
//! 2,<rat>,MCC,MNC,TAC,cell,channel,PCI,[width],rxlev,RSRP,RSRQ
//! ```
//!
//! Channel and PCI are hexadecimal with some firmware and decimal with other, without a mark: only
//! a letter among the digits, or the band that the channel must lie in, tells. Rows of UMTS are known
//! and not read.

use super::family;
use crate::case::{Cell, Facts, Quantity, Rat};
use crate::response::bands;
use crate::response::columns::{AREA, BLOCKS, BodyLine, CELL, Column, MCC, MNC, plain, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::grammar::FieldError;
use crate::response::{Family, Field, Read, Response, fields, scale};
use Column::{Figure, Hex, Number, Own, Rest, Word};

pub(super) static FAMILY: Family = family(
    &["+GTCCINFO"],
    "+GTCCINFO?",
    "serving and neighbour cells with their levels",
    &[
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
);

/// The base in which a module prints channel and PCI.
#[derive(Clone, Copy, PartialEq)]
enum Base {
    Decimal,
    Hexadecimal,
}

const BAND: Column = Own(|w, f| {
    let known = f.text.parse().ok().and_then(bands::offset);
    if let Some((_, number)) = known {
        w.value(Quantity::Band, f64::from(number), f.span);
    }
    (known.is_some() || f.is_blank() || f.int() == Some(0)).then_some(()).ok_or("a band code")
});
const SINR: Column = Own(unknown_unit);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let mut base = None;
        let mut rows = reply.lines().filter(|line| is_row(line.text)).peekable();
        let any = rows.peek().is_some();
        let results: Vec<_> = rows.map(|line| row(w, line, &mut base)).collect();
        match results.into_iter().reduce(Result::or) {
            Some(result) => result,
            // Labels and nothing below them: there is no cell.
            None if !any => Ok(()),
            None => Err(reply.no_form(0)),
        }
    })
}

/// Whether a line is a row of the response: a number of fields that hold digits and nothing else.
pub(super) fn begins(line: &str) -> bool {
    is_row(line)
        && line.trim_end().bytes().all(|b| b.is_ascii_hexdigit() || matches!(b, b',' | b'-'))
}

fn is_row(line: &str) -> bool {
    ["1,4,", "1,9,", "2,4,", "2,9,"].iter().any(|h| line.trim_start().starts_with(h))
        && line.split(',').count() >= 10
}

fn row(
    w: &mut FactWriter<'_>,
    line: BodyLine<'_>,
    base: &mut Option<Base>,
) -> Result<(), FieldError> {
    let cells = fields(line.text, line.at);
    let serving = cells[0].text == "1";
    let rat = if cells[1].text == "9" { Rat::Nr } else { Rat::Lte };
    w.turn_to(if serving { Cell::Serving } else { Cell::Neighbour });
    if serving && cells.len() == 14 {
        let known = cells[8].text.parse().ok().and_then(bands::offset).filter(|(r, _)| *r == rat);
        *base = base_of(&cells[6], &cells[7], rat, known.map(|(_, b)| b));
    }
    let channel = if rat == Rat::Nr { Quantity::NrArfcn } else { Quantity::Earfcn };
    let (channel, pci) = match base {
        Some(Base::Decimal) => (plain(channel), plain(Quantity::Pci)),
        Some(Base::Hexadecimal) => (Hex(channel), Hex(Quantity::Pci)),
        None => (Column::Digits, Column::Digits),
    };
    let (rsrp, rsrq) = match rat {
        Rat::Nr => (scale::SS_RSRP, scale::SS_RSRQ),
        _ => (scale::RSRP, scale::RSRQ),
    };
    let mut form = vec![Word(&["1", "2"]), Word(&["4", "9"]), MCC, MNC, AREA, CELL, channel, pci];
    match (serving, cells.len()) {
        (true, 14) => {
            form.extend([BAND, if rat == Rat::Lte { BLOCKS } else { Figure }, SINR, Figure]);
        }
        // Rows of neighbours differ in length; the levels always stand at the end.
        (false, length @ 10..=14) => form.extend(std::iter::repeat_n(Figure, length - 10)),
        // Known by its first fields; its columns are not.
        _ => form.push(Rest),
    }
    if form.len() == cells.len() - 2 {
        form.extend([Number(Quantity::Rsrp, rsrp), Number(Quantity::Rsrq, rsrq)]);
    }
    w.line(line, &form)
}

fn unknown_unit(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    if !field.is_blank() {
        field.int().ok_or("a number")?;
        w.uncertain(Quantity::Sinr, None, "the unit of this field is not known", field.span);
    }
    Ok(())
}

/// The base of channel and PCI, where the text or the band leaves one alone.
fn base_of(channel: &Field<'_>, pci: &Field<'_>, rat: Rat, number: Option<u16>) -> Option<Base> {
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
pub(super) const SAMPLES: &[&str] = &[
    "+GTCCINFO:\nLTE service cell:\n1,4,001,01,37A6,DEF7A00,672,1E4,103,100,44,63,63,24\n2,4,,,FFFF,00FFFFFFF,3048,454,,25,25,14",
];

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
