//! `+KTCP_IND`, `+KTCP_NOTIF`: a socket that is ready, or failed; comes by itself.
//!
//! ```text
//! +KTCP_IND: <id>,1          +KTCP_NOTIF: <id>,<error>          4: the connection failed; 0 no network
//! ```
//!
//! From memory.

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+KTCP_IND", "+KTCP_NOTIF"], "", "whether a socket was opened", &[], read);

const READY: &[Column] = &[Column::Figure, Column::Word(&["1"])];
const FAILED: &[Column] = &[
    Column::Figure,
    Column::Own(|w, f| match traffic::canonical(f)? {
        0 | 4 | 5 => traffic::passed(w, false, f.span),
        1..=30 => Ok(()),
        _ => Err("0 to 30"),
    }),
    Column::Optional,
    Column::Figure,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        if !reply.is("+KTCP_IND") {
            return w.row(reply, FAILED);
        }
        w.row(reply, READY)?;
        traffic::passed(w, true, reply.span).map_err(|_| reply.no_form(0))
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+KTCP_IND: 1,1", "+KTCP_NOTIF: 1,4"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn success_and_failure_are_told_apart() {
        assert_eq!(of("+KTCP_IND", "1,1"), [Fact::Traffic(true)]);
        assert_eq!(of("+KTCP_NOTIF", "1,4"), [Fact::Traffic(false)]);
    }
}
