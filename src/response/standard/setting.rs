//! Settings and lists that colour a diagnosis: `+CLCK`, `+CPLS`, `+CPOL`, `+CGEREP`, `+CEDRXS`,
//! `+CEDRXRDP`, and the time of day with what the network says of it.
//!
//! TS 27.007 §7.4, §7.20, §7.19, §10.1.19, §7.40, §7.41, §8.15, §8.40, §8.41.

use crate::case::{Fact, Facts};
use crate::response::{Family, Form, Read, Response};

pub(crate) static CLCK: Family = Family {
    heads: &["+CLCK"],
    request: "AT+CLCK=\"SC\",2",
    source: "TS 27.007 §7.4",
    about: "whether the card asks its PIN, and whether the device is bound to a network",
    yields: &[],
    read: clck,
};
pub(crate) static CPOL: Family = Family {
    heads: &["+CPOL"],
    request: "AT+CPOL?",
    source: "TS 27.007 §7.19",
    about: "a preferred network of the card",
    yields: &[],
    read: cpol,
};
pub(crate) static CLOCK: Family = Family {
    heads: &["+CTZV", "+CTZE", "+CTZEU", "+NITZ", "*PSUTTZ", "^NWTIME"],
    request: "",
    source: "TS 27.007 §8.41; makers' own forms beside it",
    about: "the network told its time",
    yields: &[],
    read: clock,
};
pub(crate) static KNOWN: Family = Family {
    heads: &["+CPLS", "+CGEREP", "+CEDRXS", "+CEDRXRDP", "+CCLK", "+CTZU", "+CTZR"],
    request: "AT+CEDRXS?",
    source: "TS 27.007 §7.20, §7.40, §7.41, §8.15, §8.40, §8.41, §10.1.19",
    about: "settings and the modem's own clock: no cause of a missing attach",
    yields: &[],
    read: known,
};

/// The facility stands in the request: `+CLCK="SC",2`.
fn clck(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test || reply.body.starts_with('(') {
        return Read::Understood;
    }
    let Some(status) = reply.fields()[0].small().filter(|s| *s <= 1) else {
        return Read::UnknownForm;
    };
    let asked = reply.request.split_once('=').map_or("", |(_, a)| a);
    let mut parts = asked.split(',').map(|p| p.trim().trim_matches('"'));
    if let (Some(facility), Some("2")) = (parts.next(), parts.next()) {
        facts.push(Fact::Facility(facility.to_ascii_uppercase(), status == 1), reply.span);
    }
    Read::Understood
}

/// `<index>,<format>,<network>,…`; the numeric format alone names a network for sure.
fn cpol(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    if reply.form == Form::Test || reply.body.starts_with('(') {
        return Read::Understood;
    }
    let [index, format, network, ..] = fields[..] else { return Read::UnknownForm };
    if index.small().is_none() {
        return Read::UnknownForm;
    }
    let digits = network.text.len() >= 5 && network.text.bytes().all(|b| b.is_ascii_digit());
    if format.text == "2" && digits {
        facts.push(Fact::Preferred(network.text.to_owned()), network.span);
    }
    Read::Understood
}

fn clock(reply: &Response<'_>, facts: &mut Facts) -> Read {
    // `AT+CTZV?` reads a setting on some modems; a time comes by itself.
    if reply.form != Form::Test && reply.body.contains(['+', '-', '/', ':']) {
        facts.push(Fact::NetworkTime, reply.span);
    }
    Read::Understood
}

fn known(_: &Response<'_>, _: &mut Facts) -> Read {
    Read::Understood
}

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;
    use crate::case::Fact;
    use crate::response::standard::tests::facts_of;

    #[test]
    fn a_facility_is_named_by_its_request() {
        let case = Case::read(&Capture::new(
            "AT+CLCK=\"PN\",2\n+CLCK: 1\nOK\nAT+CLCK=\"SC\",2\n+CLCK: 0\nOK\n",
        ));
        let found: Vec<_> = case.card.facilities.all().iter().map(|o| o.value.clone()).collect();
        assert_eq!(found, [("PN".to_owned(), true), ("SC".to_owned(), false)]);
        assert!(facts_of("+CLCK: 1").is_empty());
    }

    #[test]
    fn preferred_networks_count_in_digits() {
        assert_eq!(facts_of("+CPOL: 1,2,\"00101\",0,0,0,1"), [Fact::Preferred("00101".into())]);
        assert!(facts_of("+CPOL: 1,0,\"Weir Mobile\"").is_empty());
    }

    #[test]
    fn the_networks_time_is_proof_that_it_spoke() {
        assert_eq!(facts_of("+CTZV: +4,\"26/03/01,10:00:00\""), [Fact::NetworkTime]);
        assert!(facts_of("+CTZU: 1").is_empty());
    }
}
