//! `$QCRSRP`, `$QCRSRQ`, and the `+RSRP`, `+RSRQ` that `+UCGED?` prints in one of its modes: triples of cell, channel and level, the serving one first.

use crate::case::{Cell, Facts, Quantity};
use crate::response::fact_writer::{FactWriter, number};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["$QCRSRP", "$QCRSRQ", "+RSRP", "+RSRQ"],
    request: "$QCRSRP?",
    source: "maker's command",
    about: "levels of the serving and of neighbour cells",
    yields: &[Quantity::Rsrp, Quantity::Rsrq, Quantity::Pci, Quantity::Earfcn],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let row = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let quantity =
        if reply.is("$QCRSRP") || reply.is("+RSRP") { Quantity::Rsrp } else { Quantity::Rsrq };
    for (n, triple) in row.chunks_exact(3).enumerate() {
        pen.turn_to(if n == 0 { Cell::Serving } else { Cell::Neighbour });
        // Without three numbers it is another layout.
        if triple.iter().any(|f| number(f.text).is_none()) {
            break;
        }
        pen.plain(Quantity::Pci, triple.first());
        pen.plain(Quantity::Earfcn, triple.get(1));
        pen.plain(quantity, triple.get(2));
    }
    pen.done()
}

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn the_first_triple_is_the_serving_cell() {
        let found = of("$QCRSRP", "310,2050,\"-115.80\",001,2050,\"-118.80\"");
        assert_eq!(numbers(&found, Quantity::Rsrp), [-115.8]);
        assert_eq!(numbers(&found, Quantity::Pci), [310.0]);
        assert_eq!(numbers(&of("+RSRP", "162,5110,\"-102.60\","), Quantity::Rsrp), [-102.6]);
        assert_eq!(numbers(&of("+RSRQ", "162,5110,\"-9.60\""), Quantity::Rsrq), [-9.6]);
    }
}
