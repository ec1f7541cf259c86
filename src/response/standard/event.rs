//! `+CGEV`: packet service events (TS 27.007 §10.1.19).
//!
//! ```text
//! +CGEV: NW DETACH | ME DETACH | NW CLASS <class> | ME CLASS <class>
//! +CGEV: (NW | ME) PDN (ACT | DEACT) <cid>[,…]
//! +CGEV: (NW | ME) (ACT | DEACT | MODIFY) <p_cid>,<cid>,<event_type>[,…]
//! +CGEV: (REJECT | NW REACT | NW DEACT | ME DEACT) <PDP_type>,<PDP_addr>[,<cid>]
//! ```
//!
//! A form with two numbers is about a further bearer of a context that stays.

use crate::case::{Fact, Facts};
use crate::response::grammar::{self, Input, Parsed, Spanned};
use crate::response::{Family, FieldError, Read, Response};
use std::fmt;

pub(crate) static CGEV: Family = Family {
    prefixes: &["+CGEV"],
    request: "",
    source: "TS 27.007 §10.1.19",
    about: "packet service events",
    yields: &[],
    read,
};

/// What happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Event {
    /// The whole device is detached.
    Detached,
    /// The connection of a context is up.
    Activated,
    /// The connection of a context is down.
    Deactivated,
    /// A further bearer, a change, a class: nothing that decides.
    Other,
}

/// The words of the events; `PDN` ones have the context first behind them.
const WORDS: [(&str, Event); 21] = [
    ("NW DETACH", Event::Detached),
    ("ME DETACH", Event::Detached),
    ("NW PDN ACT", Event::Activated),
    ("ME PDN ACT", Event::Activated),
    ("EPS PDN ACT", Event::Activated),
    ("PDN ACT", Event::Activated),
    ("NW PDN DEACT", Event::Deactivated),
    ("ME PDN DEACT", Event::Deactivated),
    ("EPS PDN DEACT", Event::Deactivated),
    ("PDN DEACT", Event::Deactivated),
    ("NW DEACT", Event::Deactivated),
    ("ME DEACT", Event::Deactivated),
    ("NW ACT", Event::Other),
    ("ME ACT", Event::Other),
    ("NW MODIFY", Event::Other),
    ("ME MODIFY", Event::Other),
    ("NW REACT", Event::Other),
    ("NW CLASS", Event::Other),
    ("ME CLASS", Event::Other),
    ("REJECT", Event::Other),
    ("USER DEACT", Event::Deactivated),
];

/// A packet service event.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cgev {
    /// The words of the event.
    pub words: &'static str,
    /// What happened.
    pub event: Event,
    /// The context, where the event names one of a `PDN` form.
    pub cid: Option<Spanned<u8>>,
}

impl Cgev {
    /// Reads a response.
    ///
    /// # Errors
    ///
    /// The words that no event has, or the field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        grammar::parse(reply, event)
    }
}

fn event(input: Input<'_>) -> Parsed<'_, Cgev> {
    let begins = |words: &str| {
        input.fragment().get(..words.len()).is_some_and(|t| t.eq_ignore_ascii_case(words))
    };
    let Some(&(words, event)) = WORDS.iter().find(|(words, _)| begins(words)) else {
        return grammar::fail(input, "event", "an event of the clause");
    };
    let rest = grammar::behind(input, words.len());
    let values = grammar::skip(rest);
    let none = Cgev { words, event, cid: None };
    let valued = values.fragment().starts_with(|c: char| c.is_ascii_digit() || c == '"')
        && values.fragment().len() < rest.fragment().len();
    if !valued {
        // A class, or a type without quotes, follows its blank; nothing of it is kept.
        return if event == Event::Other {
            grammar::free(rest).map(|(rest, _)| (rest, none))
        } else {
            Ok((rest, none))
        };
    }
    if !words.contains("PDN") {
        let bearer = values.fragment().starts_with(|c: char| c.is_ascii_digit());
        let (rest, _) = grammar::any(values)?;
        let (rest, others) = grammar::remaining(rest)?;
        let event = if bearer { Event::Other } else { event };
        let cid = others.get(1).filter(|_| !bearer && event == Event::Deactivated);
        let cid = cid.and_then(|f| Some(Spanned { value: f.small()?, span: f.span }));
        return Ok((rest, Cgev { event, cid, ..none }));
    }
    let (rest, cid) = grammar::number("cid", 0..=u8::MAX)(values)?;
    let (rest, _) = grammar::remaining(rest)?;
    Ok((rest, Cgev { cid: Some(cid), ..none }))
}

impl fmt::Display for Cgev {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "+CGEV: {}", self.words)?;
        self.cid.map_or(Ok(()), |cid| write!(f, " {cid}"))
    }
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let note = |event: Cgev| {
        match event.event {
            Event::Detached => facts.push(Fact::Released(true), reply.span),
            Event::Deactivated => facts.push(Fact::Released(false), reply.span),
            Event::Activated | Event::Other => {}
        }
        let active = match event.event {
            Event::Activated => Some(true),
            Event::Deactivated => Some(false),
            Event::Detached | Event::Other => None,
        };
        if let (Some(cid), Some(active)) = (event.cid, active) {
            facts.push(Fact::Active(*cid, active), reply.span);
        }
    };
    Cgev::parse(reply).map(note).into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::response::Form;
    use crate::response::standard::tests::{facts_of, with_response};
    use proptest::prelude::*;

    #[test]
    fn every_event_of_the_clause_is_read() {
        // TS 27.007 §10.1.19.
        assert_eq!(facts_of("+CGEV: NW DETACH"), [Fact::Released(true)]);
        assert_eq!(
            facts_of("+CGEV: ME PDN DEACT 1"),
            [Fact::Released(false), Fact::Active(1, false)]
        );
        assert_eq!(facts_of("+CGEV: ME PDN ACT 3,1"), [Fact::Active(3, true)]);
        assert_eq!(
            facts_of("+CGEV: NW DEACT \"IP\",\"192.0.2.7\",1"),
            [Fact::Released(false), Fact::Active(1, false)]
        );
        assert_eq!(facts_of("+CGEV: ME DEACT \"IP\",\"192.0.2.7\""), [Fact::Released(false)]);
        for quiet in [
            "ME CLASS B",
            "NW MODIFY 1,0,0",
            "ME ACT 1,2,0",
            "NW DEACT 1,6,0",
            "REJECT \"IP\",\"192.0.2.7\"",
        ] {
            assert!(facts_of(&format!("+CGEV: {quiet}")).is_empty(), "{quiet}");
        }
        for unknown in ["NW PDN", "SOME PDN DEACTIVATION", "ME PDN DEACT 1x", "NW DETACHED"] {
            assert!(facts_of(&format!("+CGEV: {unknown}")).is_empty(), "{unknown}");
        }
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_back(at in 0..WORDS.len(), cid in any::<Option<u8>>()) {
            let (words, event) = WORDS[at];
            let cid = cid.filter(|_| words.contains("PDN")).map(Spanned::from);
            let written = Cgev { words, event, cid };
            prop_assert_eq!(with_response(&written.to_string(), Form::Unsolicited, Cgev::parse), Ok(written));
        }
    }
}
