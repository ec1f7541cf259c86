//! Temperature: `+QTEMP`, `+CPMUTEMP`, `^CHIPTEMP`, `+GTSENRDTEMP`, `#TEMPMEAS`, `+CMTE`, `^SCTM_B`.
//!
//! Where several sensors answer, the highest plausible one counts. A level alone is 0 where all is
//! well, 1 or -1 near a limit, 2 or -2 beyond it (`^SCTM_B`, and degrees in `+CMTE`, from memory).

use crate::case::{Fact, Facts, Power, Quantity};
use crate::response::fact_writer::{FactWriter, number};
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+QTEMP", "+CPMUTEMP", "^CHIPTEMP", "+GTSENRDTEMP", "#TEMPMEAS", "+CMTE", "^SCTM_B"],
    request: "+QTEMP",
    source: "maker's command",
    about: "module temperature",
    yields: &[Quantity::Temperature],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    match reply.head.to_ascii_uppercase().as_str() {
        "+QTEMP" => match (fields, fields[0].int()) {
            ([_, value], None) => highest(&mut pen, std::slice::from_ref(value), 1.0),
            (_, Some(_)) => highest(&mut pen, fields, 1.0),
            _ => {}
        },
        "^CHIPTEMP" => highest(&mut pen, fields, 10.0),
        "+GTSENRDTEMP" => {
            if let Some(value) = fields.get(1) {
                highest(&mut pen, std::slice::from_ref(value), 1000.0);
            }
        }
        "#TEMPMEAS" => {
            if let Some(value) = fields.get(1) {
                highest(&mut pen, std::slice::from_ref(value), 1.0);
            }
        }
        "+CMTE" if fields.len() > 1 => {
            highest(&mut pen, std::slice::from_ref(&fields[1]), 1.0);
        }
        "+CMTE" | "^SCTM_B" => match fields[0].int() {
            Some(-2 | 2) => pen.fact(Fact::Power(Power::Temperature), fields[0].span),
            // Near a limit nothing has happened yet.
            Some(-1..=1) => pen.understood(),
            _ => {}
        },
        _ => highest(&mut pen, &fields[..1], 1.0),
    }
    pen.done()
}

/// The highest of the readings in `parts` of a degree that a module can have.
fn highest(pen: &mut FactWriter<'_>, fields: &[Field<'_>], parts: f64) {
    let readings = fields.iter().filter_map(|f| {
        let degrees = number(f.text)? / parts;
        // -273 and 255 mark a sensor that is not there; 0 in a row, one that was not read.
        let plausible = (-60.0..=150.0).contains(&degrees) && (fields.len() == 1 || degrees != 0.0);
        plausible.then_some((degrees, f.span))
    });
    match readings.max_by(|a, b| a.0.total_cmp(&b.0)) {
        Some((degrees, span)) => {
            pen.value(Quantity::Temperature, degrees, span);
        }
        None => {
            if let Some(field) = fields.iter().find(|f| number(f.text).is_some()) {
                pen.unknown(Quantity::Temperature, field.span);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Power, Quantity};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn each_form_has_its_unit() {
        assert_eq!(numbers(&of("+QTEMP", "\"pa0\",\"40\""), Quantity::Temperature), [40.0]);
        assert_eq!(numbers(&of("+QTEMP", "32,0,18"), Quantity::Temperature), [32.0]);
        assert_eq!(numbers(&of("^CHIPTEMP", "431,425,65535,35"), Quantity::Temperature), [43.1]);
        assert_eq!(numbers(&of("+GTSENRDTEMP", "1,36500"), Quantity::Temperature), [36.5]);
        assert_eq!(numbers(&of("+CPMUTEMP", "24"), Quantity::Temperature), [24.0]);
        assert_eq!(numbers(&of("#TEMPMEAS", "0,31"), Quantity::Temperature), [31.0]);
    }

    #[test]
    fn an_absent_sensor_has_no_value() {
        let found = of("+QTEMP", "\"pa1\",\"-273\"");
        assert!(says(&found, &Fact::no_value(Quantity::Temperature, Cell::Serving)));
    }

    #[test]
    fn a_level_by_itself_warns_beyond_the_limit_alone() {
        for (head, body) in [("+CMTE", "2"), ("^SCTM_B", "-2")] {
            assert!(says(&of(head, body), &Fact::Power(Power::Temperature)), "{head}");
        }
        for near in ["0", "1", "-1"] {
            assert!(of("+CMTE", near).is_empty(), "{near}");
        }
        assert_eq!(numbers(&of("+CMTE", "1,96"), Quantity::Temperature), [96.0]);
    }
}
