//! `^SYSINFOEX`, `^SYSINFO`, `^SIMST`, `^SRVST`: service, card and technology in numbers.
//!
//! `^SYSINFOEX: <service>,<domain>,<roaming>,<card>,[lock],<technology>,<name>,…`. Of the card
//! numbers only "valid" and "absent" are used; the others are not verified.
//!
//! `^SYSINFO: <service>,<domain>,<roaming>,<technology>,<card>[,…]`, from memory; of its technologies
//! only 3 (GSM) and 5 (WCDMA) are used.

use crate::case::{Fact, Facts, Rat, Service, Sim};
use crate::response::fact_writer::FactWriter;
use crate::response::{Family, Field, Read, Response};

pub(super) static FAMILY: Family = Family {
    heads: &["^SYSINFOEX", "^SYSINFO", "^SIMST", "^SRVST"],
    request: "^SYSINFOEX",
    source: "maker's command",
    about: "service state, card state and technology",
    yields: &[],
    read,
};

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    let Some(mut pen) = FactWriter::of_state(reply, facts) else { return Read::UnknownForm };
    if reply.is("^SIMST") {
        card(&mut pen, fields.first());
    } else {
        service(&mut pen, fields.first());
    }
    if reply.is("^SYSINFO") && fields.len() > 4 {
        card(&mut pen, fields.get(4));
        let rat = match fields[3].small() {
            Some(3) => Some(Rat::Gsm),
            Some(5) => Some(Rat::Utra),
            _ => None,
        };
        if let Some(rat) = rat {
            pen.fact(Fact::Technology(rat), fields[3].span);
        }
    }
    if reply.is("^SYSINFOEX") && fields.len() > 5 {
        card(&mut pen, fields.get(3));
        let rat = match fields[5].small() {
            Some(1) => Some(Rat::Gsm),
            Some(3) => Some(Rat::Utra),
            Some(6) => Some(Rat::Lte),
            _ => None,
        };
        if let Some(rat) = rat {
            pen.fact(Fact::Technology(rat), fields[5].span);
        }
    }
    pen.done()
}

fn service(pen: &mut FactWriter<'_>, field: Option<&Field<'_>>) {
    let Some(field) = field else { return };
    let state = match field.small() {
        Some(0) => Service::None,
        Some(1 | 3) => Service::Limited,
        Some(2) => Service::Normal,
        _ => return,
    };
    pen.fact(Fact::Service(state), field.span);
}

fn card(pen: &mut FactWriter<'_>, field: Option<&Field<'_>>) {
    let Some(field) = field else { return };
    let sim = match field.small() {
        Some(1) => Sim::Ready,
        Some(255) => Sim::NotInserted,
        _ => return,
    };
    pen.fact(Fact::Sim(sim), field.span);
}

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Rat, Service, Sim};
    use crate::response::sample::{of, says};

    #[test]
    fn service_card_and_technology_are_read_from_one_line() {
        let found = of("^SYSINFOEX", "2,3,0,1,,6,\"LTE\",101,\"LTE\"");
        assert!(says(&found, &Fact::Service(Service::Normal)));
        assert!(says(&found, &Fact::Sim(Sim::Ready)));
        assert!(says(&found, &Fact::Technology(Rat::Lte)));
    }

    #[test]
    fn the_older_form_has_the_card_last() {
        let found = of("^SYSINFO", "1,0,0,5,1");
        assert!(says(&found, &Fact::Service(Service::Limited)));
        assert!(says(&found, &Fact::Technology(Rat::Utra)));
        assert!(says(&found, &Fact::Sim(Sim::Ready)));
        assert!(says(&of("^SYSINFO", "0,0,0,0,255"), &Fact::Sim(Sim::NotInserted)));
    }

    #[test]
    fn restricted_service_and_a_missing_card_are_named() {
        assert!(says(&of("^SRVST", "1"), &Fact::Service(Service::Limited)));
        assert!(says(&of("^SIMST", "255,0"), &Fact::Sim(Sim::NotInserted)));
    }
}
