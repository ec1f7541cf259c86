//! `+CDNSGIP`: whether a name was resolved.
//!
//! ```text
//! 1,"<name>","<address>"[,"<address>"]          0,<error>
//! ```
//!
//! From memory.

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+CDNSGIP"], "", "whether a name was resolved", &[], read);

const FOUND: &[Column] =
    &[Column::Word(&["1"]), Column::Text, Column::Text, Column::Optional, Column::Text];
const FAILED: &[Column] = &[Column::Word(&["0"]), Column::Figure];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let found = reply.text(0) == "1";
        w.row(reply, if found { FOUND } else { FAILED })?;
        traffic::resolved(w, found, reply.span).map_err(|_| reply.no_form(0))
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+CDNSGIP: 1,"host.example","192.0.2.1""#, "+CDNSGIP: 0,8"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn a_name_was_resolved_or_not() {
        let both = |well| [Fact::NameResolved(well), Fact::Traffic(well)];
        assert_eq!(of("+CDNSGIP", "1,\"host.example\",\"192.0.2.1\""), both(true));
        assert_eq!(of("+CDNSGIP", "0,8"), both(false));
    }
}
