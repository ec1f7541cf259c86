//! `+KCNX_IND`: the state of a module's own connection; comes by itself.
//!
//! ```text
//! <session>,<0 down | 1 up | 2 failed | 3 closed | 4 coming | 5 idle>[,…]
//! ```
//!
//! From memory.

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+KCNX_IND"], "", "the state of the module's own connection", &[], read);

const FORM: &[Column] = &[
    Column::Figure,
    Column::Own(|w, f| {
        match f.text {
            "0" | "3" => w.fact(Fact::Active(1, false), f.span),
            "1" => w.fact(Fact::Active(1, true), f.span),
            "2" => w.fact(Fact::Opening(false), f.span),
            "4" | "5" => {}
            _ => return Err("0 to 5"),
        }
        Ok(())
    }),
    Column::Optional,
    Column::Rest,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+KCNX_IND: 1,1,0"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn a_connection_comes_and_fails() {
        assert_eq!(of("+KCNX_IND", "1,1,0"), [Fact::Active(1, true)]);
        assert_eq!(of("+KCNX_IND", "1,2"), [Fact::Opening(false)]);
    }
}
