//! `#XHTTPCRSP`, `#XHTTPCREQ`: how a request of HTTP went on; comes by itself.
//!
//! ```text
//! #XHTTPCREQ: <0, or an error>          #XHTTPCRSP: <bytes>,<0 | 1 finished>
//! ```
//!
//! From memory.

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["#XHTTPCRSP", "#XHTTPCREQ"], "", "how a request of HTTP ended", &[], read);

const FORM: &[Column] = &[
    Column::Own(|w, f| {
        let number = traffic::canonical(f)?;
        // Bytes have come, or the request could not be sent; 0 alone is neither.
        if number == 0 { Ok(()) } else { traffic::passed(w, number > 0, f.span) }
    }),
    Column::Optional,
    Column::Figure,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["#XHTTPCRSP: 341,1"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn success_and_failure_are_told_apart() {
        assert_eq!(of("#XHTTPCRSP", "341,1"), [Fact::Traffic(true)]);
        assert_eq!(of("#XHTTPCREQ", "-116"), [Fact::Traffic(false)]);
    }
}
