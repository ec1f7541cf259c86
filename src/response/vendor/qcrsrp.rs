//! `$QCRSRP`, `$QCRSRQ`: triples of cell, channel and level, the serving one first.

use super::family;
use crate::case::{Cell, Facts, Quantity};
use crate::response::columns::{Column, plain, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response};
use Column::{Own, Rest};

pub(super) static FAMILY: Family = family(
    &["$QCRSRP", "$QCRSRQ"],
    "$QCRSRP?",
    "levels of the serving and of neighbour cells",
    &[Quantity::Rsrp, Quantity::Rsrq, Quantity::Pci, Quantity::Earfcn],
    read,
);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let quantity = if reply.is("$QCRSRP") { Quantity::Rsrp } else { Quantity::Rsrq };
    triples(reply, facts, quantity)
}

/// Reads triples of `<PCI>,<EARFCN>,"<level>"`; a closing comma is no field.
pub(super) fn triples(reply: &Response<'_>, facts: &mut Facts, quantity: Quantity) -> Read {
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
pub(super) const SAMPLES: &[&str] = &[r#"$QCRSRP: 310,2050,"-115.80",001,2050,"-118.80""#];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn the_first_triple_is_the_serving_cell() {
        let found = of("$QCRSRP", "310,2050,\"-115.80\",001,2050,\"-118.80\"");
        assert_eq!(numbers(&found, Quantity::Rsrp), [-115.8]);
        assert_eq!(numbers(&found, Quantity::Pci), [310.0]);
    }
}
