//! `^HCSQ`: levels as indices into steps; the technology's name fixes the fields that follow.
//!
//! The steps of RSRQ for NR fit no known table, so that it is told as a doubt.

use crate::case::{Fact, Facts, Quantity, Rat};
use crate::response::fact_writer::FactWriter;
use crate::response::names;
use crate::response::scale::{self, FIFTHS_HCSQ, HALVES_ECIO, RSSI_121};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["^HCSQ"],
    request: "^HCSQ?",
    source: "maker's command",
    about: "levels of the technology in use, as indices",
    yields: &[
        Quantity::Rssi,
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Sinr,
        Quantity::Rscp,
        Quantity::EcNo,
    ],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    let technology = fields[0];
    if let Some(service) = names::service(technology.text) {
        pen.fact(Fact::Service(service), technology.span);
        return pen.done();
    }
    let Some(rat) = names::technology(technology.text) else { return Read::UnknownForm };
    pen.fact(Fact::Technology(rat), technology.span);
    match rat {
        Rat::Lte | Rat::LteM | Rat::NbIot => {
            pen.level(Quantity::Rssi, fields.get(1), RSSI_121);
            pen.level(Quantity::Rsrp, fields.get(2), scale::RSRP);
            pen.level(Quantity::Sinr, fields.get(3), FIFTHS_HCSQ);
            pen.level(Quantity::Rsrq, fields.get(4), scale::RSRQ);
        }
        Rat::Nr => {
            pen.level(Quantity::Rsrp, fields.get(1), scale::RSRP);
            pen.level(Quantity::Sinr, fields.get(2), FIFTHS_HCSQ);
            if let Some(field) = fields.get(3) {
                let why = "the steps of this index are not known";
                pen.doubt(Quantity::Rsrq, None, why, field.span);
            }
        }
        Rat::Utra => {
            pen.level(Quantity::Rssi, fields.get(1), RSSI_121);
            pen.level(Quantity::Rscp, fields.get(2), scale::RSCP);
            pen.level(Quantity::EcNo, fields.get(3), HALVES_ECIO);
        }
        Rat::Gsm => pen.level(Quantity::Rssi, fields.get(1), RSSI_121),
    }
    pen.done()
}

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity, Service};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn indices_become_the_lower_edges_of_their_steps() {
        let found = of("^HCSQ", "\"LTE\",48,35,86,14");
        assert_eq!(numbers(&found, Quantity::Rssi), [-73.0]);
        assert_eq!(numbers(&found, Quantity::Rsrp), [-106.0]);
        assert_eq!(numbers(&found, Quantity::Sinr), [-3.0]);
        assert_eq!(numbers(&found, Quantity::Rsrq), [-13.0]);
    }

    #[test]
    fn below_the_range_is_no_level_and_255_is_unknown() {
        let found = of("^HCSQ", "\"LTE\",255,0,255,0");
        assert!(says(&found, &Fact::no_value(Quantity::Rssi, Cell::Serving)));
        assert_eq!(numbers(&found, Quantity::Rsrp), [] as [f64; 0]);
    }

    #[test]
    fn nr_quality_is_a_doubt() {
        let found = of("^HCSQ", "\"NR\",77,241,31");
        assert_eq!(numbers(&found, Quantity::Sinr), [28.0]);
        assert_eq!(numbers(&found, Quantity::Rsrq), [] as [f64; 0]);
        assert!(says(&of("^HCSQ", "\"NOSERVICE\""), &Fact::Service(Service::None)));
    }
}
