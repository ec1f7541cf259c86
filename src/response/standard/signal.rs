//! `+CSQ` and `+CESQ`: received levels as indices into fixed steps.
//!
//! TS 27.007 §8.5 and §8.69; the steps are those of TS 36.133 §9.1.4 and §9.1.7, TS 25.133 §9.1,
//! TS 45.008 §8.1.4, TS 38.133 §10.1. A level is given by the lower edge of its step.

use crate::case::{Cell, Fact, Facts, Quantity};
use crate::response::{Family, Form, Read, Response};
use crate::span::Span;

pub(crate) static CSQ: Family = Family {
    heads: &["+CSQ", "CSQ"],
    request: "AT+CSQ",
    source: "TS 27.007 §8.5",
    about: "signal strength index",
    yields: &[Quantity::Rssi],
    read: csq,
};
pub(crate) static CESQ: Family = Family {
    heads: &["+CESQ", "CESQ"],
    request: "AT+CESQ",
    source: "TS 27.007 §8.69; TS 36.133 §9.1.4",
    about: "level and quality for the technology in use",
    yields: &[
        Quantity::Rxlev,
        Quantity::Rscp,
        Quantity::EcNo,
        Quantity::Rsrq,
        Quantity::Rsrp,
        Quantity::Sinr,
    ],
    read: cesq,
};

fn csq(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test || reply.body.starts_with('(') {
        return Read::Understood;
    }
    let fields = reply.fields();
    let Some(index) = fields[0].small() else { return Read::UnknownForm };
    strength(index, reply.span, facts)
}

/// Notes the level of an index (TS 27.007 §8.5).
pub(crate) fn strength(index: u8, span: Span, facts: &mut Facts) -> Read {
    match index {
        // 0 and 31 are open ended; their edge is the nearest thing that is known.
        0..=31 => {
            facts.number(Quantity::Rssi, f64::from(index) * 2.0 - 113.0, Cell::Serving, span);
        }
        99 => facts.push(Fact::no_value(Quantity::Rssi, Cell::Serving), span),
        // Some makers add 100 for other technologies: an index 100..=191 of RSCP, in dBm − 216.
        _ => return Read::UnknownForm,
    }
    Read::Understood
}

struct Scale {
    quantity: Quantity,
    highest: u8,
    unknown: u8,
    first: f64,
    step: f64,
}

/// The fields of `+CESQ` in order, `<ber>` left out; `first` is the lower edge of step 1 less a step.
const SCALES: [(usize, Scale); 8] = [
    (0, Scale { quantity: Quantity::Rxlev, highest: 63, unknown: 99, first: -111.0, step: 1.0 }),
    (2, Scale { quantity: Quantity::Rscp, highest: 96, unknown: 255, first: -121.0, step: 1.0 }),
    (3, Scale { quantity: Quantity::EcNo, highest: 49, unknown: 255, first: -24.5, step: 0.5 }),
    (4, Scale { quantity: Quantity::Rsrq, highest: 34, unknown: 255, first: -20.0, step: 0.5 }),
    (5, Scale { quantity: Quantity::Rsrp, highest: 97, unknown: 255, first: -141.0, step: 1.0 }),
    (6, Scale { quantity: Quantity::Rsrq, highest: 126, unknown: 255, first: -43.5, step: 0.5 }),
    (7, Scale { quantity: Quantity::Rsrp, highest: 126, unknown: 255, first: -157.0, step: 1.0 }),
    (8, Scale { quantity: Quantity::Sinr, highest: 127, unknown: 255, first: -23.5, step: 0.5 }),
];

fn cesq(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test || reply.body.starts_with('(') {
        return Read::Understood;
    }
    let fields = reply.fields();
    let mut steps = [0; 9];
    for (step, field) in steps.iter_mut().zip(fields) {
        let Some(read) = field.small() else { return Read::UnknownForm };
        *step = read;
    }
    if !matches!(fields.len(), 6 | 9) {
        return Read::UnknownForm;
    }
    for (at, scale) in SCALES.iter().take_while(|(at, _)| *at < fields.len()) {
        one(steps[*at], scale, fields[*at].span, facts);
    }
    Read::Understood
}

fn one(step: u8, scale: &Scale, span: Span, facts: &mut Facts) {
    if step == scale.unknown {
        facts.push(Fact::no_value(scale.quantity, Cell::Serving), span);
    } else if step <= scale.highest {
        // Step 0 is open below: its upper edge is the nearest thing that is known.
        let value = scale.first + scale.step * f64::from(step.max(1));
        facts.number(scale.quantity, value, Cell::Serving, span);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::response::standard::tests::facts_of;

    #[test]
    fn worked_values_of_the_clauses() {
        // TS 36.133 table 9.1.4-1: RSRP_48 is -93 dBm <= RSRP < -92 dBm; table 9.1.7-1: RSRQ_20 is
        // -10 dB <= RSRQ < -9.5 dB. TS 27.007 §8.5: 2 is -109 dBm, 30 is -53 dBm.
        assert!(facts_of("+CESQ: 99,99,255,255,20,48").contains(&Fact::number(
            Quantity::Rsrp,
            -93.0,
            Cell::Serving
        )));
        assert!(facts_of("+CESQ: 99,99,255,255,20,48").contains(&Fact::number(
            Quantity::Rsrq,
            -10.0,
            Cell::Serving
        )));
        assert_eq!(facts_of("+CSQ: 2,99"), [Fact::number(Quantity::Rssi, -109.0, Cell::Serving)]);
        assert_eq!(facts_of("+CSQ: 30,99"), [Fact::number(Quantity::Rssi, -53.0, Cell::Serving)]);
    }

    #[test]
    fn no_value_is_not_a_level_and_a_range_is_no_reading() {
        assert_eq!(facts_of("+CSQ: 99,99"), [Fact::no_value(Quantity::Rssi, Cell::Serving)]);
        assert!(facts_of("+CSQ: (0-31,99),(0-7,99)").is_empty());
    }
}
