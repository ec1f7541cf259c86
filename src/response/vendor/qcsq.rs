//! `+QCSQ`: levels of the technology in use, whose name fixes the fields that follow.

use super::family;
use crate::case::{Facts, Quantity, Rat};
use crate::response::columns::{Column, plain, whole};
use crate::response::names::{note_service, note_technology, service, technology};
use crate::response::scale::FIFTHS_SINR;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+QCSQ"],
    "+QCSQ",
    "levels of the technology in use",
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

const NONE: &[Column] = &[Column::Own(note_service)];
const EUTRA: &[Column] = &[
    Column::Own(note_technology),
    plain(Quantity::Rssi),
    plain(Quantity::Rsrp),
    Column::Number(Quantity::Sinr, FIFTHS_SINR),
    plain(Quantity::Rsrq),
];
/// An NR line stands beside an LTE line or alone, so that it does not tell the technology of the serving cell.
const NR: &[Column] =
    &[Column::Text, plain(Quantity::Rsrp), plain(Quantity::Sinr), plain(Quantity::Rsrq)];
const UTRA: &[Column] = &[
    Column::Own(note_technology),
    plain(Quantity::Rssi),
    plain(Quantity::Rscp),
    plain(Quantity::EcNo),
];
const GSM: &[Column] = &[Column::Own(note_technology), plain(Quantity::Rssi)];

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

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    r#"+QCSQ: "LTE",-52,-81,195,-10"#,
    r#"+QCSQ: "NR5G",-75,4,-11"#,
    r#"+QCSQ: "WCDMA",-71,-83,-9"#,
    r#"+QCSQ: "GSM",-73"#,
    r#"+QCSQ: "NOSERVICE""#,
];

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
