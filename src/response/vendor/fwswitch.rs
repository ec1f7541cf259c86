//! `#FWSWITCH`: the number of the operator's image that is active.
//!
//! ```text
//! <image>[,<storage>[,…]]
//! ```

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["#FWSWITCH"], "#FWSWITCH?", "the operator image that is active", &[], read);

const FORM: &[Column] = &[
    Column::Own(|w, f| {
        let number: u16 = f.text.parse().map_err(|_| "the number of a profile")?;
        w.fact(Fact::OperatorProfile(format!("number {number}")), f.span);
        Ok(())
    }),
    Column::Optional,
    Column::Rest,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["#FWSWITCH: 1,0"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn the_image_is_a_number() {
        assert_eq!(of("#FWSWITCH", "1,0"), [Fact::OperatorProfile("number 1".into())]);
    }
}
