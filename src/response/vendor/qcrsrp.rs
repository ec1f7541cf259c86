//! `$QCRSRP`, `$QCRSRQ`, and `+RSRP`, `+RSRQ` of `+UCGED?` in one of its modes: triples of cell, channel and level, the
//! serving one first.

use super::family;
#[cfg(test)]
use crate::case::Fact;
use crate::case::{Cell, Facts, Quantity};
use crate::response::columns::{Column, plain, whole};
use crate::response::fact_writer::{FactWriter, Taken};
#[cfg(test)]
use crate::response::sample::number;
#[cfg(test)]
use crate::response::table::Example;
use crate::response::{Family, Field, Read, Response};
use Column::{Own, Rest};

const ABOUT: &str = "levels of the serving and of neighbour cells";
const YIELDS: &[Quantity] = &[Quantity::Rsrp, Quantity::Rsrq, Quantity::Pci, Quantity::Earfcn];

pub(super) const FAMILIES: &[&Family] = &[
    &family(&["$QCRSRP", "$QCRSRQ"], "$QCRSRP?", ABOUT, YIELDS, read),
    &family(&["+RSRP", "+RSRQ"], "+UCGED?", ABOUT, YIELDS, read),
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let power = reply.is("$QCRSRP") || reply.is("+RSRP");
    triples(reply, facts, if power { Quantity::Rsrp } else { Quantity::Rsrq })
}

/// Reads triples of `<PCI>,<EARFCN>,"<level>"`; a closing comma is no field.
fn triples(reply: &Response<'_>, facts: &mut Facts, quantity: Quantity) -> Read {
    whole(reply, facts, |w, reply| {
        let count = reply.fields().len() / 3;
        let mut form: Vec<Column> = Vec::with_capacity(3 * count + 2);
        for n in 0..count {
            let pci = if n == 0 { Own(serving) } else { Own(neighbour) };
            form.extend([pci, plain(Quantity::Earfcn), plain(quantity)]);
        }
        form.extend([Column::Optional, Column::Word(&[""])]);
        if count == 0 { w.row(reply, &[Column::Figure, Rest]) } else { w.row(reply, &form) }
    })
}

fn serving(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    w.turn_to(Cell::Serving);
    w.level(Quantity::Pci, field, crate::response::scale::Scale::Plain)
}

fn neighbour(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    w.turn_to(Cell::Neighbour);
    w.level(Quantity::Pci, field, crate::response::scale::Scale::Plain)
}

#[cfg(test)]
pub(super) static EXAMPLES: &[Example] = &[
    (r#"$QCRSRP: 310,2050,"-115.80",001,2050,"-118.80""#, || {
        let beside = |q, value| Fact::number(q, value, Cell::Neighbour);
        vec![
            number(Quantity::Pci, 310.0),
            number(Quantity::Earfcn, 2050.0),
            number(Quantity::Rsrp, -115.8),
            beside(Quantity::Pci, 1.0),
            beside(Quantity::Earfcn, 2050.0),
            beside(Quantity::Rsrp, -118.8),
        ]
    }),
    (r#"+RSRQ: 162,5110,"-9.60","#, || {
        vec![
            number(Quantity::Pci, 162.0),
            number(Quantity::Earfcn, 5110.0),
            number(Quantity::Rsrq, -9.6),
        ]
    }),
];
