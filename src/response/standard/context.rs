//! Contexts: `+CGDCONT`, `+CGACT`, `+CGPADDR`, `+CGCONTRDP`, `+CGAUTH`, `+CGEV`.
//!
//! ```text
//! +CGDCONT: <cid>,<PDP_type>,<APN>[,…]
//! +CGACT: <cid>,<state>
//! +CGPADDR: <cid>[,<PDP_addr_1>[,<PDP_addr_2>]]
//! +CGCONTRDP: <cid>,<bearer_id>,<APN>[,<address and mask>[,…]]
//! +CGAUTH: <cid>,<auth_prot>[,<userid>[,<password>]]
//! ```
//!
//! TS 27.007 §10.1.1, §10.1.10, §10.1.14, §10.1.23, §10.1.31, §10.1.19.

use super::address::{Address, address};
use crate::case::{Cell, ContextAuthentication, ContextDefinition, Fact, Facts, Quantity};
use crate::response::fact_writer::is_hidden_name;
use crate::response::grammar::{self, Input, Parsed, Spanned, next, number, optional, text};
use crate::response::{Family, FieldError, Form, Read, Response};
use crate::span::Span;
use compact_str::CompactString;
use std::fmt;

pub(crate) static CGDCONT: Family = Family {
    prefixes: &["+CGDCONT", "CGDCONT"],
    request: "+CGDCONT?",
    source: "TS 27.007 §10.1.1",
    about: "stored contexts and their access point names",
    yields: &[Quantity::Apn],
    read: cgdcont,
};
pub(crate) static CGACT: Family = Family {
    prefixes: &["+CGACT", "CGACT"],
    request: "+CGACT?",
    source: "TS 27.007 §10.1.10",
    about: "which contexts are active",
    yields: &[],
    read: cgact,
};
pub(crate) static CGPADDR: Family = Family {
    prefixes: &["+CGPADDR", "CGPADDR", "#CGPADDR"],
    request: "+CGPADDR",
    source: "TS 27.007 §10.1.14",
    about: "the addresses of the contexts",
    yields: &[],
    read: cgpaddr,
};
pub(crate) static CGCONTRDP: Family = Family {
    prefixes: &["+CGCONTRDP", "CGCONTRDP"],
    request: "+CGCONTRDP",
    source: "TS 27.007 §10.1.23",
    about: "what the network gave to the active contexts",
    yields: &[Quantity::Apn],
    read: cgcontrdp,
};
pub(crate) static CGAUTH: Family = Family {
    prefixes: &["+CGAUTH", "CGAUTH"],
    request: "+CGAUTH?",
    source: "TS 27.007 §10.1.31",
    about: "authentication of the contexts",
    yields: &[],
    read: cgauth,
};

/// A context as a response or a set command writes it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cgdcont {
    /// Context number.
    pub cid: Spanned<u8>,
    /// Address type as printed.
    pub kind: Spanned<CompactString>,
    /// The access point name with every blank it carries; empty for none.
    pub apn: Spanned<CompactString>,
}

impl Cgdcont {
    /// Reads a response.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        grammar::parse(reply, |input| Self::fields(false, input))
    }

    /// Reads the values of a set command, which begin at `base`; the name may be left out (§10.1.1).
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse_set(values: &str, base: usize) -> Result<Self, FieldError> {
        grammar::parse_values(values, base, |input| Self::fields(true, input))
    }

    fn fields(set: bool, input: Input<'_>) -> Parsed<'_, Self> {
        let (rest, cid) = number("cid", 0..=u8::MAX)(input)?;
        let (rest, kind) = next("PDP_type", text("PDP_type"))(rest)?;
        let (behind, apn) = optional(text("APN"))(rest)?;
        // A name that was left out is one thing, and a line that ends before it another.
        if apn.is_none() && !set && grammar::comma(behind).is_none() {
            return grammar::fail(rest, "APN", "a text");
        }
        let (rest, _) = grammar::remaining(behind)?;
        let none = || Spanned { value: "", span: Span::default() };
        let apn = apn.unwrap_or_else(none);
        Ok((rest, Self { cid, kind: kind.to_compact(), apn: apn.to_compact() }))
    }

    fn note(self, set: bool, facts: &mut Facts) {
        let Self { cid, kind, apn } = self;
        if is_hidden_name(&apn) {
            return;
        }
        let empty = apn.is_empty();
        let span = if empty { cid.span.to(kind.span) } else { apn.span };
        let context =
            ContextDefinition { cid: *cid, kind: kind.value, apn: apn.value.clone(), set };
        facts.push(Fact::Context(context), span);
        if !empty {
            facts.push(Fact::word(Quantity::Apn, apn.value, Cell::Serving), span);
        }
    }
}

impl fmt::Display for Cgdcont {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "+CGDCONT: {},\"{}\",\"{}\",\"\",0,0", self.cid, self.kind, self.apn)
    }
}

/// Notes a context that was set.
pub(crate) fn defined(values: &str, base: usize, facts: &mut Facts) {
    // A command that did not go through its own grammar changed nothing that is known.
    if let Ok(context) = Cgdcont::parse_set(values, base) {
        context.note(true, facts);
    }
}

fn cgdcont(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let lists_what_is_possible = memchr::memchr(b'(', reply.body.as_bytes()).is_some_and(|at| {
        !reply.body[..at]
            .trim_end()
            .ends_with(|c: char| c.is_ascii_digit() || matches!(c, '"' | '”'))
    });
    if reply.lists_values() || reply.body.is_empty() || lists_what_is_possible {
        return Read::Understood;
    }
    Cgdcont::parse(reply).map(|context| context.note(false, facts)).into()
}

/// A context number and whether it is active.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cgact {
    /// Context number.
    pub cid: Spanned<u8>,
    /// 0 or 1.
    pub state: Spanned<u8>,
}

impl Cgact {
    /// Reads a response.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        grammar::parse(reply, |input| {
            let (rest, cid) = number("cid", 0..=u8::MAX)(input)?;
            let (rest, state) = next("state", number("state", 0..=1))(rest)?;
            Ok((rest, Self { cid, state }))
        })
    }
}

impl fmt::Display for Cgact {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "+CGACT: {},{}", self.cid, self.state)
    }
}

fn cgact(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    let note = |context: Cgact| {
        let (cid, active) = (*context.cid, *context.state == 1);
        // A list without its command that does not begin with the first context may have lost an active one.
        let begun = |fact: &(Fact, Span)| matches!(fact.0, Fact::Active(1, _));
        let lost = reply.form == Form::Unknown && cid > 1 && !facts.found().iter().any(begun);
        if active || !lost {
            facts.push(Fact::Active(cid, active), reply.span);
        }
    };
    Cgact::parse(reply).map(note).into()
}

/// The addresses of a context.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cgpaddr {
    /// Context number.
    pub cid: Spanned<u8>,
    /// The addresses, at most one of each kind.
    pub addresses: [Option<Spanned<Address>>; 2],
}

impl Cgpaddr {
    /// Reads a response.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        grammar::parse(reply, |input| {
            let (rest, cid) = number("cid", 0..=u8::MAX)(input)?;
            let (rest, first) = optional(address("PDP_addr_1"))(rest)?;
            // That there is none is known at the end of the line alone, and with no comma before it.
            if first.is_none() && (reply.open || reply.body.contains(',')) {
                return grammar::fail(rest, "PDP_addr_1", "a complete line");
            }
            let (rest, second) = optional(address("PDP_addr_2"))(rest)?;
            Ok((rest, Self { cid, addresses: [first, second] }))
        })
    }

    /// The first address that a network gave.
    fn given(&self) -> Option<&Spanned<Address>> {
        self.addresses.iter().flatten().find(|a| a.given)
    }
}

impl fmt::Display for Cgpaddr {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "+CGPADDR: {}", self.cid)?;
        self.addresses.iter().flatten().try_for_each(|address| write!(f, ",\"{}\"", address.text))
    }
}

fn cgpaddr(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    let note = |context: Cgpaddr| {
        let (text, span) =
            context.given().map_or((String::new(), reply.span), |a| (a.text.clone(), a.span));
        facts.push(Fact::Address(*context.cid, text), span);
    };
    Cgpaddr::parse(reply).map(note).into()
}

/// What the network gave to an active context.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cgcontrdp {
    /// Context number.
    pub cid: Spanned<u8>,
    /// Bearer number.
    pub bearer: Option<Spanned<u8>>,
    /// The access point name in use.
    pub apn: Option<Spanned<CompactString>>,
    /// The address, with its mask where the modem prints it.
    pub address: Option<Spanned<Address>>,
}

impl Cgcontrdp {
    /// Reads a response.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        grammar::parse(reply, |input| {
            let (rest, cid) = number("cid", 0..=u8::MAX)(input)?;
            let (rest, bearer) = optional(number("bearer_id", 0..=15))(rest)?;
            let (rest, apn) = optional(text("APN"))(rest)?;
            let (rest, address) = optional(address("address and mask"))(rest)?;
            let (rest, _) = grammar::remaining(rest)?;
            Ok((rest, Self { cid, bearer, apn: apn.as_ref().map(Spanned::to_compact), address }))
        })
    }
}

impl fmt::Display for Cgcontrdp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "+CGCONTRDP: {},", self.cid)?;
        self.bearer.map_or(Ok(()), |bearer| write!(f, "{bearer}"))?;
        self.apn.as_ref().map_or(Ok(()), |apn| write!(f, ",\"{apn}\""))?;
        self.address.as_ref().map_or(Ok(()), |address| write!(f, ",\"{}\"", address.text))
    }
}

fn cgcontrdp(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    let note = |context: Cgcontrdp| {
        // Only active contexts stand in this list.
        facts.push(Fact::Active(*context.cid, true), reply.span);
        if let Some(apn) = context.apn.filter(|a| !(a.is_empty() || is_hidden_name(a))) {
            facts.push(Fact::word(Quantity::Apn, apn.value, Cell::Serving), apn.span);
        }
        if let Some(address) = context.address.filter(|a| a.given) {
            facts.push(Fact::Address(*context.cid, address.value.text), address.span);
        }
    };
    Cgcontrdp::parse(reply).map(note).into()
}

/// The authentication of a context; its password is not kept.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cgauth {
    /// Context number.
    pub cid: Spanned<u8>,
    /// 0 none, 1 PAP, 2 CHAP; 3 leaves the choice to the modem with some vendors.
    pub protocol: Spanned<u8>,
    /// The user name.
    pub user: Option<Spanned<CompactString>>,
}

impl Cgauth {
    /// Reads a response.
    ///
    /// # Errors
    ///
    /// The field that is not of its type.
    pub(crate) fn parse(reply: &Response<'_>) -> Result<Self, FieldError> {
        grammar::parse(reply, |input| {
            let (rest, cid) = number("cid", 0..=u8::MAX)(input)?;
            let (rest, protocol) = next("auth_prot", number("auth_prot", 0..=3))(rest)?;
            let (rest, user) = optional(text("userid"))(rest)?;
            let (rest, _) = grammar::remaining(rest)?;
            Ok((rest, Self { cid, protocol, user: user.as_ref().map(Spanned::to_compact) }))
        })
    }
}

impl fmt::Display for Cgauth {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "+CGAUTH: {},{}", self.cid, self.protocol)?;
        self.user.as_ref().map_or(Ok(()), |user| write!(f, ",\"{user}\""))
    }
}

fn cgauth(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.lists_values() || reply.body.is_empty() {
        return Read::Understood;
    }
    let note = |context: Cgauth| {
        let Cgauth { cid, protocol, user } = context;
        let user = user.is_some_and(|u| !u.is_empty());
        let fact = ContextAuthentication { cid: *cid, protocol: *protocol, user };
        facts.push(Fact::Authentication(fact), reply.span);
    };
    Cgauth::parse(reply).map(note).into()
}

#[cfg(test)]
mod tests;
