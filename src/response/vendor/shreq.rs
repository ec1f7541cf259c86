//! `+SHREQ`: how a request of HTTP ended; comes by itself.
//!
//! ```text
//! "<method>",<status>,<length>          from 600 the module's own errors
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::traffic::HTTP_STATUS;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+SHREQ"], "", "how a request of HTTP ended", &[], read);

const FORM: &[Column] = &[Column::Text, HTTP_STATUS, Column::Figure];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+SHREQ: "GET",200,387"#];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn success_and_failure_are_told_apart() {
        assert_eq!(of("+SHREQ", "\"GET\",200,387"), [Fact::Traffic(true)]);
        assert_eq!(of("+SHREQ", "\"GET\",601,0"), [Fact::Traffic(false)]);
    }
}
