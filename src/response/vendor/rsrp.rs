//! `+RSRP`, `+RSRQ`: what `+UCGED?` prints in one of its modes: triples of cell, channel and level.

use super::{family, qcrsrp};
use crate::case::{Facts, Quantity};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+RSRP", "+RSRQ"],
    "+UCGED?",
    "levels of the serving and of neighbour cells",
    &[Quantity::Rsrp, Quantity::Rsrq, Quantity::Pci, Quantity::Earfcn],
    read,
);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let quantity = if reply.is("+RSRP") { Quantity::Rsrp } else { Quantity::Rsrq };
    qcrsrp::triples(reply, facts, quantity)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+RSRP: 162,5110,"-102.60","#];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn a_closing_comma_is_no_field() {
        assert_eq!(numbers(&of("+RSRP", "162,5110,\"-102.60\","), Quantity::Rsrp), [-102.6]);
        assert_eq!(numbers(&of("+RSRQ", "162,5110,\"-9.60\""), Quantity::Rsrq), [-9.6]);
    }
}
