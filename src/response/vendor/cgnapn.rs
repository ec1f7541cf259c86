//! `+CGNAPN`: the access point name that the network gave at the attach.
//!
//! ```text
//! <0 none | 1 given>,"<name>"
//! ```
//!
//! From memory.

use super::family;
use crate::case::{Cell, Fact, Facts, Quantity};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+CGNAPN"],
    "+CGNAPN",
    "the access point name that the network gave",
    &[Quantity::Apn],
    read,
);

const FORM: &[Column] = &[Column::Word(&["0", "1"]), Column::Optional, Column::Text];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        if let (true, Some(name)) =
            (reply.text(0) == "1", reply.fields().get(1).filter(|f| f.quoted))
        {
            w.fact(Fact::word(Quantity::Apn, name.text.into(), Cell::Serving), name.span);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+CGNAPN: 1,"gauges.example""#];

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity};
    use crate::response::sample::of;

    #[test]
    fn a_name_that_was_given_is_read() {
        let name = Fact::word(Quantity::Apn, "gauges.example".into(), Cell::Serving);
        assert_eq!(of("+CGNAPN", "1,\"gauges.example\""), [name]);
        assert_eq!(of("+CGNAPN", "0,\"\""), []);
    }
}
