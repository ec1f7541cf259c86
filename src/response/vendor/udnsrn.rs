//! `+UDNSRN`, `#XGETADDRINFO`: the address of a name.
//!
//! ```text
//! "<address>"
//! ```
//!
//! From memory.

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::traffic;
use crate::response::{Family, Read, Response};
use std::net::IpAddr;

pub(super) static FAMILY: Family =
    family(&["+UDNSRN", "#XGETADDRINFO"], "", "whether a name was resolved", &[], read);

const FORM: &[Column] = &[Column::Own(|w, f| {
    f.text.parse::<IpAddr>().map_err(|_| "an address")?;
    if f.quoted { traffic::resolved(w, true, f.span) } else { Err("an address in quotes") }
})];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+UDNSRN: "192.0.2.1""#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn a_name_has_an_address() {
        let both = [Fact::NameResolved(true), Fact::Traffic(true)];
        assert_eq!(of("+UDNSRN", "\"192.0.2.1\""), both);
    }
}
