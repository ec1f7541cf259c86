//! Several sensors in one response, and pages of labels: temperatures and the supply.
//!
//! ```text
//! +QTEMP: "<sensor>","<degrees>"          -273 or 255 for a sensor that is not there
//! +QTEMP: <amplifier>,<crystal>,<ambient>          0 for one that was not read; the order is from memory
//! ^CHIPTEMP: <tenths>[,…]          65535 for a sensor that is not there
//! !PCTEMP:                    !PCVOLT:          a page of labels, from memory
//! Temperature: 39.00 C        Power supply voltage: 3306 mV
//! ```
//!
//! Of several sensors the highest counts.

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, plain, whole};
use crate::response::fact_writer::{FactWriter, Taken, number};
#[cfg(test)]
use crate::response::sample::number as measured;
#[cfg(test)]
use crate::response::table::Example;
use crate::response::{Family, Field, Read, Response};
use crate::span::Span;

const TEMPERATURE: &str = "module temperature";
const DEGREES: &[Quantity] = &[Quantity::Temperature];

pub(super) static PCTEMP: Family =
    family(&["!PCTEMP"], "!PCTEMP?", TEMPERATURE, DEGREES, |reply, facts| {
        labelled(reply, facts, Quantity::Temperature, &["Temperature"])
    });
pub(super) static PCVOLT: Family = family(
    &["!PCVOLT"],
    "!PCVOLT?",
    "supply voltage",
    &[Quantity::SupplyMillivolt],
    |reply, facts| {
        labelled(reply, facts, Quantity::SupplyMillivolt, &["Power supply voltage", "Voltage"])
    },
);

pub(super) const FAMILIES: &[&Family] = &[
    &family(&["+QTEMP"], "+QTEMP", TEMPERATURE, DEGREES, |reply, facts| {
        if reply.fields().len() == 2 {
            return whole(reply, facts, |w, reply| w.row(reply, SENSOR));
        }
        sensors(reply, facts, 4, 1.0)
    }),
    &family(&["^CHIPTEMP"], "^CHIPTEMP?", TEMPERATURE, DEGREES, |reply, facts| {
        sensors(reply, facts, usize::MAX, 10.0)
    }),
    &PCTEMP,
    &PCVOLT,
];

const SENSOR: &[Column] = &[Column::Text, Column::Own(degrees)];

fn degrees(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    number(field.text).ok_or("degrees")?;
    highest(w, std::slice::from_ref(field), 1.0);
    Ok(())
}

/// Reads a row of at most so many sensors, in `parts` of a degree.
fn sensors(reply: &Response<'_>, facts: &mut Facts, most: usize, parts: f64) -> Read {
    whole(reply, facts, |w, reply| {
        let form = vec![Column::Figure; reply.fields().len().min(most)];
        w.row(reply, &form)?;
        // The end of a text may have cut the last one.
        if !reply.open {
            highest(w, reply.fields(), parts);
        }
        Ok(())
    })
}

/// Notes the highest of the readings that a module can have.
fn highest(w: &mut FactWriter<'_>, fields: &[Field<'_>], parts: f64) {
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

/// Reads the lines that have one of these labels.
fn labelled(reply: &Response<'_>, facts: &mut Facts, quantity: Quantity, labels: &[&str]) -> Read {
    whole(reply, facts, |w, reply| {
        for line in reply.lines() {
            let Some((label, value)) = line.text.split_once(':') else { continue };
            let start = line.at + line.text.len() - value.trim_start().len();
            let span = Span::new(start, start + value.trim().len());
            let field = Field { text: value.trim(), quoted: false, span };
            if labels.iter().any(|l| l.eq_ignore_ascii_case(label.trim())) {
                w.labelled(plain(quantity), &field, line.open);
            }
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) static EXAMPLES: &[Example] = &[
    ("+QTEMP: \"pa0\",\"40\"", || vec![measured(Quantity::Temperature, 40.0)]),
    ("+QTEMP: 32,0,18", || vec![measured(Quantity::Temperature, 32.0)]),
    ("+QTEMP: \"pa1\",\"-273\"", || {
        vec![crate::case::Fact::no_value(Quantity::Temperature, crate::case::Cell::Serving)]
    }),
    ("^CHIPTEMP: 431,425,65535,35", || vec![measured(Quantity::Temperature, 43.1)]),
    ("!PCTEMP:\nTemp state: Normal\nTemperature: 39.00 C", || {
        vec![measured(Quantity::Temperature, 39.0)]
    }),
    ("!PCVOLT:\nVolt state: Normal\nPower supply voltage: 3306 mV", || {
        vec![measured(Quantity::SupplyMillivolt, 3306.0)]
    }),
];
