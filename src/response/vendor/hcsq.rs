//! `^HCSQ`: levels as indices into steps; the technology's name fixes the fields that follow.
//!
//! The steps of RSRQ for NR fit no known table, so that no value is claimed.

use super::family;
use crate::case::{Facts, Quantity, Rat};
use crate::response::columns::{Column, whole};
use crate::response::fact_writer::{FactWriter, Taken, number};
use crate::response::names::{note_service, note_technology, service, technology};
use crate::response::scale::{FIFTHS_HCSQ, HALVES_ECIO, RSCP, RSRP, RSRQ, RSSI_121};
use crate::response::{Family, Field, Read, Response};
use Column::{Number, Own};

pub(super) static FAMILY: Family = family(
    &["^HCSQ"],
    "^HCSQ?",
    "levels of the technology in use, as indices",
    &[
        Quantity::Rssi,
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Sinr,
        Quantity::Rscp,
        Quantity::EcNo,
    ],
    read,
);

const TECHNOLOGY: Column = Own(note_technology);
const RSSI: Column = Number(Quantity::Rssi, RSSI_121);
const SINR: Column = Number(Quantity::Sinr, FIFTHS_HCSQ);
const NONE: &[Column] = &[Own(note_service)];
const EUTRA: &[Column] = &[
    TECHNOLOGY,
    RSSI,
    Number(Quantity::Rsrp, RSRP),
    SINR,
    Number(Quantity::Rsrq, RSRQ),
    Column::Optional,
    Column::Figure,
];
const NR: &[Column] = &[TECHNOLOGY, Number(Quantity::Rsrp, RSRP), SINR, Own(unknown_steps)];
const UTRA: &[Column] =
    &[TECHNOLOGY, RSSI, Number(Quantity::Rscp, RSCP), Number(Quantity::EcNo, HALVES_ECIO)];
const GSM: &[Column] = &[TECHNOLOGY, RSSI];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let word = reply.text(0);
        if service(word).is_some() {
            return w.row(reply, NONE);
        }
        let form = match technology(word).ok_or_else(|| reply.no_form(0))? {
            Rat::Lte | Rat::LteM | Rat::NbIot => EUTRA,
            Rat::Nr => NR,
            Rat::Utra => UTRA,
            Rat::Gsm => GSM,
        };
        w.row(reply, form)
    })
}

fn unknown_steps(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    number(field.text).ok_or("an index")?;
    w.uncertain(Quantity::Rsrq, None, "the steps of this index are not known", field.span);
    Ok(())
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    r#"^HCSQ: "LTE",48,35,86,14"#,
    r#"^HCSQ: "NR",77,241,31"#,
    r#"^HCSQ:"WCDMA",51,48,50"#,
    r#"^HCSQ: "NOSERVICE""#,
];

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
