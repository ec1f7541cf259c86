//! Settings and lists that colour a diagnosis: `+CLCK`, `+CPLS`, `+CPOL`, `+CGEREP`, `+CEDRXS`,
//! `+CEDRXRDP`, and the time of day with what the network says of it.
//!
//! TS 27.007 §7.4, §7.20, §7.19, §10.1.19, §7.40, §7.41, §8.15, §8.40, §8.41.

use super::network::OneNumber;
use crate::case::{Fact, Facts};
use crate::response::grammar::{self, Spanned, next, number};
use crate::response::{Family, FieldError, Form, Read, Response, fields};
use compact_str::CompactString;
use std::fmt;

pub(crate) static CLCK: Family = Family {
    prefixes: &["+CLCK"],
    request: "+CLCK=\"SC\",2",
    source: "TS 27.007 §7.4",
    about: "whether the card asks its PIN, and whether the device is bound to a network",
    yields: &[],
    read: clck,
};
pub(crate) static CPOL: Family = Family {
    prefixes: &["+CPOL"],
    request: "+CPOL?",
    source: "TS 27.007 §7.19",
    about: "a preferred network of the card",
    yields: &[],
    read: cpol,
};
pub(crate) static CLOCK: Family = Family {
    prefixes: &["+CTZV", "+CTZE", "+CTZEU", "+NITZ", "*PSUTTZ", "^NWTIME"],
    request: "",
    source: "TS 27.007 §8.41; makers' own forms beside it",
    about: "the network's time",
    yields: &[],
    read: clock,
};
pub(crate) static KNOWN: Family = Family {
    prefixes: &["+CPLS", "+CGEREP", "+CEDRXS", "+CEDRXRDP", "+CCLK", "+CTZU", "+CTZR"],
    request: "+CEDRXS?",
    source: "TS 27.007 §7.20, §7.40, §7.41, §8.15, §8.40, §8.41, §10.1.19",
    about: "settings and the modem's own clock: no cause of a missing attach",
    yields: &[],
    read: known,
};

/// The facility stands in the request: `+CLCK="SC",2`; behind the status, the classes of service.
fn clck(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    let status = match OneNumber::parse(reply, "+CLCK", "status", 0..=1) {
        Ok(read) => *read.value,
        Err(error) => return Read::Misread(error),
    };
    let asked = reply.request.split_once('=').map_or("", |(_, a)| a);
    let values = fields(asked, 0);
    if let [facility, mode, ..] = &*values
        && mode.text == "2"
    {
        facts.push(Fact::Facility(facility.text.to_ascii_uppercase(), status == 1), reply.span);
    }
    Read::Understood
}

/// A preferred network of the card.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cpol {
    /// Its place in the list.
    pub index: Spanned<u16>,
    /// 0 long name, 1 short name, 2 digits.
    pub format: Spanned<u8>,
    /// The name or the digits.
    pub network: Spanned<CompactString>,
}

impl Cpol {
    /// Reads a response.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        grammar::parse(reply, |input| {
            let (rest, index) = number("index", 0..=u16::MAX)(input)?;
            let (rest, format) = next("format", number("format", 0..=2))(rest)?;
            let (rest, network) = next("oper", grammar::name("oper"))(rest)?;
            let (rest, _) = grammar::remaining(rest)?;
            Ok((rest, Self { index, format, network: network.to_compact() }))
        })
    }
}

impl fmt::Display for Cpol {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "+CPOL: {},{},\"{}\"", self.index, self.format, self.network)
    }
}

/// The numeric format alone names a network for sure.
fn cpol(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    let note = |entry: Cpol| {
        let digits = entry.network.len() >= 5 && entry.network.bytes().all(|b| b.is_ascii_digit());
        if *entry.format == 2 && digits {
            facts.push(Fact::Preferred(entry.network.value.into()), entry.network.span);
        }
    };
    Cpol::parse(reply).map(note).into()
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
    use super::*;
    use crate::capture::Capture;
    use crate::case::Case;
    use crate::response::standard::tests::{facts_of, with_response};
    use proptest::prelude::*;

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

    proptest! {
        #[test]
        fn what_is_written_is_read_back(index in any::<u16>(), format in 0u8..=2, network in "[A-Za-z0-9 ]{1,12}") {
            let network = CompactString::from(network).into();
            let written = Cpol { index: index.into(), format: format.into(), network };
            prop_assert_eq!(with_response(&written.to_string(), Form::Read, Cpol::parse), Ok(written));
        }
    }
}
