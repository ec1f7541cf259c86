//! `+QHTTPGET`, `+QHTTPPOST`, `+QHTTPPUT`: how a request of HTTP ended.
//!
//! ```text
//! <0, or an error>[,<status>[,<length>]]
//! ```
//!
//! Of the errors, 703 (busy) and 730 up (parameters) are of the module itself; from memory.

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::traffic;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QHTTPGET", "+QHTTPPOST", "+QHTTPPUT"], "", "how a request of HTTP ended", &[], read);

const FORM: &[Column] = &[
    Column::Own(|w, f| match traffic::canonical(f)? {
        0 | 703 | 730.. => Ok(()),
        701..730 => traffic::passed(w, false, f.span),
        _ => Err("0, or an error from 701"),
    }),
    Column::Optional,
    traffic::HTTP_STATUS,
    Column::Figure,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+QHTTPGET: 0,200,1024", "+QHTTPGET: 714"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn success_and_failure_are_told_apart() {
        assert_eq!(of("+QHTTPGET", "0,200,1024"), [Fact::Traffic(true)]);
        assert_eq!(of("+QHTTPGET", "714"), [Fact::Traffic(false)]);
        assert_eq!(of("+QHTTPPOST", "703"), []);
    }
}
