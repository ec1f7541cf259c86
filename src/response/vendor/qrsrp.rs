//! `+QRSRP`, `+QRSRQ`, `+QSINR`, `+QRSSI`: one level for each antenna port.
//!
//! `<main>,<diversity>,<third>,<fourth>[,<technology>]` in dBm or dB.

use crate::case::{Cell, Facts, Quantity, Rat};
use crate::response::fact_writer::{FactWriter, number};
use crate::response::names;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+QRSRP", "+QRSRQ", "+QSINR", "+QRSSI"],
    request: "+QRSRP",
    source: "maker's command",
    about: "level of each antenna port",
    yields: &[Quantity::Rsrp, Quantity::Rsrq, Quantity::Sinr, Quantity::Rssi],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let quantity = if reply.is("+QRSRP") {
        Quantity::Rsrp
    } else if reply.is("+QRSRQ") {
        Quantity::Rsrq
    } else if reply.is("+QRSSI") {
        Quantity::Rssi
    } else {
        Quantity::Sinr
    };
    let mut best: Option<(f64, _)> = None;
    for (port, field) in (0u8..4).zip(fields) {
        let Some(value) = number(field.text) else { break };
        // A path that is not connected reads one of the two ends of the reporting range.
        let unused = quantity == Quantity::Rsrp && [-140, -44].map(f64::from).contains(&value);
        if pen.port(port, quantity, value, unused, field.span)
            && best.is_none_or(|(most, _)| value > most)
        {
            best = Some((value, field.span));
        }
    }
    // The power of the cell is never below that of a branch (TS 36.214 §5.1.1).
    let nr = fields.last().is_some_and(|f| names::technology(f.text) == Some(Rat::Nr));
    if let (Quantity::Rsrp, Some((value, span))) = (quantity, best) {
        // Beside LTE the NR leg is a secondary cell; alone it is told as one all the same.
        pen.turn_to(if nr { Cell::Secondary } else { Cell::Serving });
        pen.value(quantity, value, span);
    }
    pen.done()
}

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Quantity};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn each_port_has_its_level_and_unused_paths_have_none() {
        let found = of("+QRSRP", "-104,-108,-140,-32768,LTE");
        assert!(says(&found, &Fact::Port(0, Quantity::Rsrp, Some(-104.0))));
        assert!(says(&found, &Fact::Port(1, Quantity::Rsrp, Some(-108.0))));
        assert!(says(&found, &Fact::Port(2, Quantity::Rsrp, None)));
        assert!(says(&found, &Fact::Port(3, Quantity::Rsrp, None)));
        assert_eq!(numbers(&found, Quantity::Rsrp), [-104.0]);
    }

    #[test]
    fn sinr_and_quality_keep_their_own_quantity() {
        assert!(says(&of("+QSINR", "-3,-7,-1,-2,LTE"), &Fact::Port(0, Quantity::Sinr, Some(-3.0))));
        assert!(says(&of("+QRSRQ", "-11,-12"), &Fact::Port(1, Quantity::Rsrq, Some(-12.0))));
    }
}
