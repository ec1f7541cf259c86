//! `+QRSRP`, `+QRSRQ`, `+QSINR`, `+QRSSI`: one level for each antenna port.
//!
//! `<main>,<diversity>,<third>,<fourth>[,<technology>]` in dBm or dB; older firmware has two ports.

use super::family;
use crate::case::{Cell, Facts, Quantity, Rat};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken, number};
use crate::response::names::technology;
use crate::response::{Family, Field, Read, Response};
use Column::Own;

pub(super) static FAMILY: Family = family(
    &["+QRSRP", "+QRSRQ", "+QSINR", "+QRSSI"],
    "+QRSRP",
    "level of each antenna port",
    &[Quantity::Rsrp, Quantity::Rsrq, Quantity::Sinr, Quantity::Rssi],
    read,
);

macro_rules! ports {
    ($($name:ident = $quantity:expr;)*) => {
        $(const $name: [Column; 4] = [
            Own(|w, f| port(w, 0, $quantity, f)),
            Own(|w, f| port(w, 1, $quantity, f)),
            Own(|w, f| port(w, 2, $quantity, f)),
            Own(|w, f| port(w, 3, $quantity, f)),
        ];)*
    };
}
ports! {
    RSRP = Quantity::Rsrp;
    RSRQ = Quantity::Rsrq;
    SINR = Quantity::Sinr;
    RSSI = Quantity::Rssi;
}
const TECHNOLOGY: Column = Own(|_, f| technology(f.text).map(|_| ()).ok_or("a technology"));

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let row = reply.fields();
        let named = row.last().and_then(|f| technology(f.text));
        let count = row.len() - usize::from(named.is_some());
        let ports = match reply.prefix.to_ascii_uppercase().as_str() {
            "+QRSRP" => RSRP,
            "+QRSRQ" => RSRQ,
            "+QRSSI" => RSSI,
            _ => SINR,
        };
        // A text that ends here may have lost ports, and digits of the last one.
        if !matches!(count, 1 | 2 | 4) || (reply.open && named.is_none()) {
            return Err(reply.no_form(count));
        }
        let mut form = ports[..count].to_vec();
        form.extend(named.map(|_| TECHNOLOGY));
        w.row(reply, &form)?;
        // The power of the cell is never below that of a receive branch (TS 36.214 §5.1.1).
        let levels = row[..count].iter().filter_map(|f| Some((level(f)?, f.span)));
        let best = levels.max_by(|a, b| a.0.total_cmp(&b.0));
        if let (true, Some((value, span))) = (reply.is("+QRSRP"), best) {
            // Beside LTE the NR leg is a secondary cell; alone it is read as one all the same.
            w.turn_to(if named == Some(Rat::Nr) { Cell::Secondary } else { Cell::Serving });
            w.value(Quantity::Rsrp, value, span);
        }
        Ok(())
    })
}

/// A power that a branch measured: a path that is not connected reads one of the two ends of the range.
fn level(field: &Field<'_>) -> Option<f64> {
    let (low, high) = Quantity::Rsrp.range();
    number(field.text).filter(|v| (low..=high).contains(v) && !is_end(*v))
}

fn is_end(value: f64) -> bool {
    [-140, -44].map(f64::from).contains(&value)
}

fn port(w: &mut FactWriter<'_>, port: u8, quantity: Quantity, field: &Field<'_>) -> Taken {
    let value = match number(field.text) {
        Some(value) => value,
        None if field.is_blank() => return Ok(()),
        None => return Err("a level"),
    };
    w.port(port, quantity, value, quantity == Quantity::Rsrp && is_end(value), field.span);
    Ok(())
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] =
    &["+QRSRP: -104,-108,-140,-32768,LTE", "+QSINR: -3,-7,-1,-2,LTE"];

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
