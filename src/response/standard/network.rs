//! How the modem is on the network: `+CGATT`, `+CEMODE`, `+CPSMS`, `+CSCON`, `+WS46`.
//!
//! TS 27.007 §10.1.9, §10.1.28, §7.38, §10.1.30, §5.9.
//!
//! ```text
//! +CGATT: <state>
//! +CEMODE: <mode>
//! +CPSMS: <mode>[,…]
//! +CSCON: <n>,<mode>[,<state>[,<access>]]      when read; without <n> when it comes by itself
//! +WS46: <n>
//! ```

use crate::case::{Fact, Facts, Rat};
use crate::response::grammar::{self, Spanned, next, number};
use crate::response::{Family, FieldError, Form, Read, Response};
use std::fmt;
use std::ops::RangeInclusive;

pub(crate) static CGATT: Family = Family {
    prefixes: &["+CGATT", "CGATT"],
    request: "+CGATT?",
    source: "TS 27.007 §10.1.9",
    about: "whether the packet service is attached",
    yields: &[],
    read: cgatt,
};
pub(crate) static CEMODE: Family = Family {
    prefixes: &["+CEMODE", "CEMODE"],
    request: "+CEMODE?",
    source: "TS 27.007 §10.1.28",
    about: "whether voice or data decides where the modem stays",
    yields: &[],
    read: cemode,
};
pub(crate) static CPSMS: Family = Family {
    prefixes: &["+CPSMS"],
    request: "+CPSMS?",
    source: "TS 27.007 §7.38",
    about: "power saving mode",
    yields: &[],
    read: cpsms,
};
pub(crate) static CSCON: Family = Family {
    prefixes: &["+CSCON"],
    request: "+CSCON?",
    source: "TS 27.007 §10.1.30",
    about: "radio connection",
    yields: &[],
    read: cscon,
};
pub(crate) static WS46: Family = Family {
    prefixes: &["+WS46"],
    request: "+WS46?",
    source: "TS 27.007 §5.9",
    about: "the technologies that are allowed",
    yields: &[],
    read: ws46,
};

/// A response of one number and, with some commands, further fields.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct OneNumber {
    /// The prefix.
    pub prefix: &'static str,
    /// The number.
    pub value: Spanned<u8>,
}

impl OneNumber {
    /// Reads a response.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(
        reply: &Response<'_>,
        prefix: &'static str,
        field: &'static str,
        range: RangeInclusive<u8>,
    ) -> Result<Self, FieldError> {
        grammar::parse(reply, |input| {
            let (rest, value) = number(field, range.clone())(input)?;
            let (rest, _) =
                if grammar::is_sentence(rest) { (rest, ().into()) } else { further(rest)? };
            Ok((rest, Self { prefix, value }))
        })
    }
}

fn further(input: grammar::Input<'_>) -> grammar::Parsed<'_, Spanned<()>> {
    grammar::remaining(input).map(|(rest, _)| (rest, ().into()))
}

impl fmt::Display for OneNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.prefix, self.value)
    }
}

/// Notes the fact of the one number of a response.
fn one_number(
    reply: &Response<'_>,
    facts: &mut Facts,
    prefix: &'static str,
    field: &'static str,
    range: RangeInclusive<u8>,
    fact: impl FnOnce(u8) -> Fact,
) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    OneNumber::parse(reply, prefix, field, range)
        .map(|n| facts.push(fact(*n.value), reply.span))
        .into()
}

fn cgatt(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_number(reply, facts, "+CGATT", "state", 0..=1, |state| Fact::Attached(state == 1))
}

fn cemode(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_number(reply, facts, "+CEMODE", "mode", 0..=3, Fact::UsageMode)
}

fn cpsms(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_number(reply, facts, "+CPSMS", "mode", 0..=2, |mode| Fact::PowerSaving(mode == 1))
}

/// A radio connection.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cscon {
    /// The report mode `<n>`, in the read form alone.
    pub report: Option<Spanned<u8>>,
    /// 0 idle, 1 connected.
    pub mode: Spanned<u8>,
}

impl Cscon {
    /// Reads a response in the form of its request; two numbers without one could be either form.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        let alone = !reply.body.contains(',');
        grammar::parse(reply, |input| {
            let (rest, report) = match reply.form {
                _ if alone && reply.form != Form::Read => (input, None),
                Form::Read => number("n", 0..=3)(input).and_then(|(rest, n)| {
                    next("mode", |rest| Ok((rest, ())))(rest).map(|(rest, ())| (rest, Some(n)))
                })?,
                Form::Unsolicited => (input, None),
                // No mode is above 1, but states are: the second number is one.
                Form::Unknown if second_is_a_state(reply.body) => (input, None),
                _ => return grammar::fail(input, "n", "a request that tells the form"),
            };
            let (rest, mode) = number("mode", 0..=1)(rest)?;
            let (rest, _) = grammar::remaining(rest)?;
            Ok((rest, Self { report, mode }))
        })
    }
}

fn second_is_a_state(body: &str) -> bool {
    let second = body.split(',').nth(1).map(str::trim);
    second.and_then(|s| s.parse::<u8>().ok()).is_some_and(|state| state > 1)
}

impl fmt::Display for Cscon {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("+CSCON: ")?;
        self.report.map_or(Ok(()), |n| write!(f, "{n},"))?;
        write!(f, "{}", self.mode)
    }
}

fn cscon(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() {
        return Read::Understood;
    }
    Cscon::parse(reply)
        .map(|state| facts.push(Fact::RadioConnected(*state.mode == 1), reply.span))
        .into()
}

fn ws46(reply: &Response<'_>, facts: &mut Facts) -> Read {
    use Rat::{Gsm, Lte, Nr, Utra};
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    let value = match OneNumber::parse(reply, "+WS46", "n", 0..=99) {
        Ok(number) => *number.value,
        Err(error) => return Read::Misread(error),
    };
    let allowed: &[Rat] = match value {
        12 => &[Gsm],
        22 => &[Utra],
        25 => &[Gsm, Utra, Lte],
        28 => &[Lte],
        29 => &[Gsm, Utra],
        30 => &[Gsm, Lte],
        31 => &[Utra, Lte],
        36 => &[Nr],
        37 => &[Lte, Nr],
        _ => return Read::UnknownForm,
    };
    facts.push(Fact::AllowedTechnologies(allowed.to_vec()), reply.span);
    Read::Understood
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::response::standard::tests::{facts_of, facts_of_form, with_response};
    use proptest::prelude::*;

    #[test]
    fn a_dressed_state_is_the_state_or_nothing() {
        assert_eq!(facts_of("+CGATT: 1\\r\\n"), [Fact::Attached(true)]);
        assert_eq!(facts_of("+CGATT: 0 <- look"), [Fact::Attached(false)]);
        for line in ["+CGATT: 2", "+CGATT: 1x", "+CGATT: 1?", "+CGATT: (0,1)", "+CGATT: 1 or 0"] {
            assert!(facts_of(line).is_empty(), "{line}");
        }
    }

    #[test]
    fn the_form_of_a_radio_connection_comes_from_its_request() {
        let state = |line, form| facts_of_form(line, form);
        assert_eq!(state("+CSCON: 1,0", Form::Read), [Fact::RadioConnected(false)]);
        assert_eq!(state("+CSCON: 1,7", Form::Unsolicited), [Fact::RadioConnected(true)]);
        assert_eq!(state("+CSCON: 1", Form::Unknown), [Fact::RadioConnected(true)]);
        assert!(state("+CSCON: 1,0", Form::Unknown).is_empty());
        assert_eq!(state("+CSCON: 0,7", Form::Unknown), [Fact::RadioConnected(false)]);
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_back(n in proptest::option::of(0u8..=3), mode in 0u8..=1) {
            let form = if n.is_some() { Form::Read } else { Form::Unsolicited };
            let written = Cscon { report: n.map(Spanned::from), mode: mode.into() };
            prop_assert_eq!(with_response(&written.to_string(), form, Cscon::parse), Ok(written));
            let attached = OneNumber { prefix: "+CGATT", value: mode.into() };
            let read = with_response(&attached.to_string(), Form::Read, |r| OneNumber::parse(r, "+CGATT", "state", 0..=1));
            prop_assert_eq!(read, Ok(attached));
        }
    }
}
