//! `+QNWINFO`: technology, network code, band and channel in use.

use super::family;
use crate::case::{Fact, Facts, Quantity, Rat, Service};
use crate::response::columns::{BAND_NAME, Column, PLMN, plain, whole};
use crate::response::fact_writer::{FactWriter, Taken, channel_quantity};
use crate::response::names::{note_technology, technology};
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+QNWINFO"],
    "+QNWINFO",
    "technology, network code, band and channel in use",
    &[
        Quantity::Mcc,
        Quantity::Mnc,
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::NrArfcn,
        Quantity::Uarfcn,
        Quantity::Arfcn,
    ],
    read,
);

const NONE: &[&str] = &["No Service", "NONE"];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let word = reply.text(0);
        if let Some(none) = NONE.iter().find(|none| none.eq_ignore_ascii_case(word)) {
            w.fact(Fact::Service(Service::None), reply.fields()[0].span);
            return if reply.fields().len() == 1 || *none == "NONE" {
                Ok(())
            } else {
                Err(reply.no_form(1))
            };
        }
        let rat = technology(word).ok_or_else(|| reply.no_form(0))?;
        // An NR line stands beside an LTE line in dual connectivity and alone otherwise; one line does not
        // tell which, so that it never claims the technology of the serving cell.
        let name: fn(&mut FactWriter<'_>, &Field<'_>) -> Taken =
            if rat == Rat::Nr { |_, _| Ok(()) } else { note_technology };
        w.row(reply, &[Column::Phrase(name), PLMN, BAND_NAME, plain(channel_quantity(rat))])
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    r#"+QNWINFO: "FDD LTE","00101","LTE BAND 7",3350"#,
    r#"+QNWINFO: "TDD NR5G","00101","NR5G BAND 41",528030"#,
    r#"+QNWINFO: "EDGE","00101","GSM 900",1"#,
];

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity, Rat, Service};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn band_and_channel_belong_to_the_technology() {
        let found = of("+QNWINFO", "\"FDD LTE\",\"00101\",\"LTE BAND 7\",3350");
        assert!(says(&found, &Fact::Technology(Rat::Lte)));
        assert!(says(&found, &Fact::word(Quantity::Mnc, "01".into(), Cell::Serving)));
        assert_eq!(numbers(&found, Quantity::Band), [7.0]);
        assert_eq!(numbers(&found, Quantity::Earfcn), [3350.0]);
        let gsm = of("+QNWINFO", "\"EDGE\",\"00101\",\"GSM 900\",1");
        assert_eq!(numbers(&gsm, Quantity::Arfcn), [1.0]);
        assert_eq!(numbers(&gsm, Quantity::Band), [] as [f64; 0]);
    }

    #[test]
    fn no_service_is_a_service_state() {
        assert!(says(&of("+QNWINFO", "No Service"), &Fact::Service(Service::None)));
    }
}
