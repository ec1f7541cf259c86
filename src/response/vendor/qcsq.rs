//! `+QCSQ`: levels of the technology in use, whose name fixes the fields that follow.

use crate::case::{Fact, Facts, Quantity, Rat};
use crate::response::fact_writer::FactWriter;
use crate::response::names;
use crate::response::scale::FIFTHS_SINR;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["+QCSQ"],
    request: "+QCSQ",
    source: "maker's command",
    about: "levels of the technology in use",
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
    match names::technology(technology.text) {
        Some(rat @ (Rat::Lte | Rat::LteM | Rat::NbIot)) => {
            pen.fact(Fact::Technology(rat), technology.span);
            pen.plain(Quantity::Rssi, fields.get(1));
            pen.plain(Quantity::Rsrp, fields.get(2));
            pen.level(Quantity::Sinr, fields.get(3), FIFTHS_SINR);
            pen.plain(Quantity::Rsrq, fields.get(4));
        }
        Some(Rat::Nr) => {
            pen.plain(Quantity::Rsrp, fields.get(1));
            pen.plain(Quantity::Sinr, fields.get(2));
            pen.plain(Quantity::Rsrq, fields.get(3));
        }
        Some(Rat::Utra) => {
            pen.fact(Fact::Technology(Rat::Utra), technology.span);
            pen.plain(Quantity::Rssi, fields.get(1));
            pen.plain(Quantity::Rscp, fields.get(2));
            pen.plain(Quantity::EcNo, fields.get(3));
        }
        Some(Rat::Gsm) => {
            pen.fact(Fact::Technology(Rat::Gsm), technology.span);
            pen.plain(Quantity::Rssi, fields.get(1));
        }
        None => {}
    }
    pen.done()
}

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Quantity, Service};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn the_raw_sinr_of_lte_counts_fifths_of_a_decibel() {
        let found = of("+QCSQ", "\"LTE\",-52,-81,195,-10");
        assert_eq!(numbers(&found, Quantity::Sinr), [19.0]);
        assert_eq!(numbers(&found, Quantity::Rsrp), [-81.0]);
        assert_eq!(numbers(&found, Quantity::Rssi), [-52.0]);
    }

    #[test]
    fn nr_has_no_rssi_and_plain_sinr() {
        let found = of("+QCSQ", "\"NR5G\",-75,4,-11");
        assert_eq!(numbers(&found, Quantity::Sinr), [4.0]);
        assert_eq!(numbers(&found, Quantity::Rssi), [] as [f64; 0]);
    }

    #[test]
    fn a_level_out_of_range_is_left_out() {
        assert_eq!(numbers(&of("+QCSQ", "\"GSM\",125"), Quantity::Rssi), [] as [f64; 0]);
        assert!(says(&of("+QCSQ", "\"NOSERVICE\""), &Fact::Service(Service::None)));
    }
}
