//! `+QTEMP`: temperatures, a line for each sensor, or three sensors in a line.
//!
//! ```text
//! "<sensor>","<degrees>"          -273 or 255 for a sensor that is not there
//! <amplifier>,<crystal>,<ambient>          0 for one that was not read; the order is from memory
//! ```
//!
//! Of three the highest counts.

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken, number};
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QTEMP"], "+QTEMP", "module temperature", &[Quantity::Temperature], read);

const SENSOR: &[Column] = &[Column::Text, Column::Own(degrees)];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        if reply.fields().len() == 2 {
            return w.row(reply, SENSOR);
        }
        let form = vec![Column::Figure; reply.fields().len().min(4)];
        w.row(reply, &form)?;
        // The end of a text may have cut the last one.
        if !reply.open {
            highest(w, reply.fields(), 1.0);
        }
        Ok(())
    })
}

fn degrees(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    number(field.text).ok_or("degrees")?;
    highest(w, std::slice::from_ref(field), 1.0);
    Ok(())
}

/// Notes the highest of the readings in `parts` of a degree that a module can have.
pub(super) fn highest(w: &mut FactWriter<'_>, fields: &[Field<'_>], parts: f64) {
    let readings = fields.iter().filter_map(|f| {
        let degrees = number(f.text)? / parts;
        let plausible = (-60.0..=150.0).contains(&degrees) && (fields.len() == 1 || degrees != 0.0);
        plausible.then_some((degrees, f.span))
    });
    match readings.max_by(|a, b| a.0.total_cmp(&b.0)) {
        Some((degrees, span)) => {
            w.value(Quantity::Temperature, degrees, span);
        }
        None => {
            if let Some(field) = fields.iter().find(|f| number(f.text).is_some()) {
                w.unknown(Quantity::Temperature, field.span);
            }
        }
    }
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+QTEMP: "pa0","40""#, "+QTEMP: 32,0,18"];

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn each_form_has_its_unit() {
        assert_eq!(numbers(&of("+QTEMP", "\"pa0\",\"40\""), Quantity::Temperature), [40.0]);
        assert_eq!(numbers(&of("+QTEMP", "32,0,18"), Quantity::Temperature), [32.0]);
    }

    #[test]
    fn an_absent_sensor_has_no_value() {
        let found = of("+QTEMP", "\"pa1\",\"-273\"");
        assert!(says(&found, &Fact::no_value(Quantity::Temperature, Cell::Serving)));
    }
}
