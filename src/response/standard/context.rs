//! Contexts: `+CGDCONT`, `+CGACT`, `+CGPADDR`, `+CGCONTRDP`, `+CGAUTH`, `+CGEV`.
//!
//! TS 27.007 §10.1.1, §10.1.10, §10.1.14, §10.1.23, §10.1.31, §10.1.19.

use crate::case::{Cell, ContextAuthentication, ContextDefinition, Fact, Facts, Quantity};
use crate::response::{Family, Field, Form, Read, Response};

pub(crate) static CGDCONT: Family = Family {
    heads: &["+CGDCONT", "CGDCONT"],
    request: "AT+CGDCONT?",
    source: "TS 27.007 §10.1.1",
    about: "stored contexts and their access point names",
    yields: &[Quantity::Apn],
    read: cgdcont,
};
pub(crate) static CGACT: Family = Family {
    heads: &["+CGACT", "CGACT"],
    request: "AT+CGACT?",
    source: "TS 27.007 §10.1.10",
    about: "which contexts are active",
    yields: &[],
    read: cgact,
};
pub(crate) static CGPADDR: Family = Family {
    heads: &["+CGPADDR", "CGPADDR"],
    request: "AT+CGPADDR",
    source: "TS 27.007 §10.1.14",
    about: "the addresses of the contexts",
    yields: &[],
    read: cgpaddr,
};
pub(crate) static CGCONTRDP: Family = Family {
    heads: &["+CGCONTRDP", "CGCONTRDP"],
    request: "AT+CGCONTRDP",
    source: "TS 27.007 §10.1.23",
    about: "what the network gave to the active contexts",
    yields: &[Quantity::Apn],
    read: cgcontrdp,
};
pub(crate) static CGAUTH: Family = Family {
    heads: &["+CGAUTH", "CGAUTH"],
    request: "AT+CGAUTH?",
    source: "TS 27.007 §10.1.31",
    about: "authentication of the contexts",
    yields: &[],
    read: cgauth,
};
pub(crate) static CGEV: Family = Family {
    heads: &["+CGEV"],
    request: "",
    source: "TS 27.007 §10.1.19",
    about: "packet service events",
    yields: &[],
    read: cgev,
};

/// A context as a set command or a reply writes it: `1,"IP","name"[,…]`.
pub(crate) fn definition(fields: &[Field<'_>], set: bool, facts: &mut Facts) -> Read {
    let Some(cid) = fields[0].small() else { return Read::UnknownForm };
    if fields.len() < 2 {
        return Read::UnknownForm;
    }
    let apn = fields.get(2).map_or("", |f| f.text);
    let span = fields.get(2).map_or(fields[0].span, |f| f.span);
    let whole = fields[0].span.to(span);
    facts.push(
        Fact::Context(ContextDefinition { cid, kind: fields[1].text.into(), apn: apn.into(), set }),
        if apn.is_empty() { whole } else { span },
    );
    if !apn.is_empty() {
        facts.push(Fact::word(Quantity::Apn, apn.into(), Cell::Serving), span);
    }
    Read::Understood
}

fn cgdcont(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let lists_what_is_possible = memchr::memchr(b'(', reply.body.as_bytes()).is_some();
    if reply.form == Form::Test || reply.body.is_empty() || lists_what_is_possible {
        return Read::Understood;
    }
    definition(reply.fields(), false, facts)
}

fn cgact(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test || reply.body.starts_with('(') {
        return Read::Understood;
    }
    let fields = reply.fields();
    let [cid, state, ..] = fields[..] else { return Read::UnknownForm };
    let (Some(cid), Some(state @ (0 | 1))) = (cid.small(), state.small()) else {
        return Read::UnknownForm;
    };
    facts.push(Fact::Active(cid, state == 1), reply.span);
    Read::Understood
}

fn cgpaddr(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test || reply.body.starts_with('(') {
        return Read::Understood;
    }
    let fields = reply.fields();
    let Some(cid) = fields[0].small() else { return Read::UnknownForm };
    let given: Vec<_> = fields[1..].iter().filter(|f| is_address(f.text)).collect();
    let text = given.first().map_or("", |f| f.text);
    facts.push(Fact::Address(cid, text.to_owned()), given.first().map_or(reply.span, |f| f.span));
    Read::Understood
}

/// Whether a text is an address that a network gave: not blank, not all zero.
fn is_address(text: &str) -> bool {
    let digits = text.bytes().any(|b| b.is_ascii_hexdigit() && b != b'0');
    let separated = text.contains('.') || text.contains(':');
    digits
        && separated
        && text.bytes().all(|b| b.is_ascii_hexdigit() || matches!(b, b'.' | b':' | b'/' | b'%'))
}

fn cgcontrdp(reply: &Response<'_>, facts: &mut Facts) -> Read {
    if reply.form == Form::Test || reply.body.starts_with('(') || reply.body.is_empty() {
        return Read::Understood;
    }
    let fields = reply.fields();
    let Some(cid) = fields[0].small() else { return Read::UnknownForm };
    // Only active contexts stand in this list.
    facts.push(Fact::Active(cid, true), reply.span);
    if let Some(apn) = fields.get(2).filter(|f| !f.text.is_empty()) {
        facts.push(Fact::word(Quantity::Apn, apn.text.into(), Cell::Serving), apn.span);
    }
    if let Some(address) = fields.get(3).filter(|f| is_address(f.text)) {
        facts.push(Fact::Address(cid, address.text.to_owned()), address.span);
    }
    Read::Understood
}

fn cgauth(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let fields = reply.fields();
    if reply.form == Form::Test || reply.body.starts_with('(') {
        return Read::Understood;
    }
    let [cid, protocol, ..] = fields[..] else { return Read::UnknownForm };
    let (Some(cid), Some(protocol)) = (cid.small(), protocol.small()) else {
        return Read::UnknownForm;
    };
    let user = fields.get(2).is_some_and(|f| !f.text.is_empty());
    facts.push(Fact::Authentication(ContextAuthentication { cid, protocol, user }), reply.span);
    Read::Understood
}

fn cgev(reply: &Response<'_>, facts: &mut Facts) -> Read {
    let upper = reply.body.to_ascii_uppercase();
    let whole = upper.contains("DETACH");
    let one = upper.contains("DEACT");
    if whole || one {
        facts.push(Fact::Released(whole), reply.span);
    } else if let Some(cid) =
        upper.strip_prefix("ME PDN ACT").or_else(|| upper.strip_prefix("EPS PDN ACT"))
    {
        let digits: String = cid.trim().chars().take_while(char::is_ascii_digit).collect();
        if let Ok(cid) = digits.parse() {
            facts.push(Fact::Active(cid, true), reply.span);
        }
    }
    Read::Understood
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::response::standard::tests::facts_of;

    #[test]
    fn a_zero_address_is_no_address() {
        assert_eq!(facts_of("+CGPADDR: 1,0.0.0.0"), [Fact::Address(1, String::new())]);
        assert_eq!(facts_of("+CGPADDR: 2,\"192.0.2.7\""), [Fact::Address(2, "192.0.2.7".into())]);
    }

    #[test]
    fn a_name_keeps_its_blanks() {
        let facts = facts_of("+CGDCONT: 1,\"IP\",\"gauges.example \",\"0.0.0.0\",0,0");
        assert!(matches!(&facts[0], Fact::Context(c) if c.apn == "gauges.example "));
    }
}
