//! `+QIDNSGIP`: whether a name was resolved: `<0, or an error>[,<count>,<life>]`, then each address in quotes; from memory.

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QIDNSGIP"], "", "whether a name was resolved", &[], read);

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        if reply.fields()[0].quoted {
            return w.row(reply, &[Column::Text]);
        }
        w.row(reply, &[Column::Figure, Column::Optional, Column::Rest])?;
        traffic::resolved(w, reply.text(0) == "0", reply.span).map_err(|_| reply.no_form(0))
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+QIDNSGIP: 0,1,600", "+QIDNSGIP: 565"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn a_name_was_resolved_or_not() {
        let both = |well| [Fact::NameResolved(well), Fact::Traffic(well)];
        assert_eq!(of("+QIDNSGIP", "0,1,600"), both(true));
        assert_eq!(of("+QIDNSGIP", "565"), both(false));
        assert!(of("+QIDNSGIP", "\"192.0.2.4\"").is_empty());
    }
}
