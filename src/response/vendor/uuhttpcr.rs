//! `+UUHTTPCR`: how a request of HTTP ended; comes by itself.
//!
//! ```text
//! <profile>,<command>,<0 failed | 1 done>
//! ```

use super::family;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::traffic::SUCCESS;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+UUHTTPCR"], "", "how a request of HTTP ended", &[], read);

const FORM: &[Column] = &[Column::Figure, Column::Figure, SUCCESS, Column::Optional, Column::Rest];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+UUHTTPCR: 0,1,1"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn success_and_failure_are_told_apart() {
        assert_eq!(of("+UUHTTPCR", "0,1,1"), [Fact::Traffic(true)]);
        assert_eq!(of("+UUHTTPCR", "0,1,0"), [Fact::Traffic(false)]);
    }
}
