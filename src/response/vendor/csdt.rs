//! `+CSDT`: whether the holder's switch is read; from memory.
//!
//! ```text
//! <0 off | 1 on>
//! ```

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+CSDT"], "+CSDT?", "how the card holder is watched", &[], read);

const FORM: &[Column] = &[Column::Own(|w, f| match f.text {
    "0" | "1" => {
        w.fact(Fact::CardDetection(f.text == "1", None), f.span);
        Ok(())
    }
    _ => Err("0 or 1"),
})];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+CSDT: 1"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn the_switch_is_on_or_off() {
        assert_eq!(of("+CSDT", "1"), [Fact::CardDetection(true, None)]);
        assert_eq!(of("+CSDT", "0"), [Fact::CardDetection(false, None)]);
    }
}
