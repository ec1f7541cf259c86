//! `+HTTPACTION`: how a request of HTTP ended; comes by itself.
//!
//! ```text
//! <method>,<status>,<length>          from 600 the module's own errors: no network, no name, no answer
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::traffic::HTTP_STATUS;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+HTTPACTION"], "", "how a request of HTTP ended", &[], read);

const FORM: &[Column] = &[Column::Word(&["0", "1", "2", "3", "4"]), HTTP_STATUS, Column::Figure];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+HTTPACTION: 0,200,1024"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn success_and_failure_are_told_apart() {
        assert_eq!(of("+HTTPACTION", "0,200,1024"), [Fact::Traffic(true)]);
        assert_eq!(of("+HTTPACTION", "0,404,0"), [Fact::Traffic(true)]);
        assert_eq!(of("+HTTPACTION", "0,603,0"), [Fact::Traffic(false)]);
        assert_eq!(of("+HTTPACTION", "0,20"), []);
    }
}
