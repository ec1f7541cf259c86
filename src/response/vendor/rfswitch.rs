//! `^RFSWITCH`: the switches of the radio: `<by software>,<by hardware>`, 0 off and 1 on; from memory.

use super::family;
use crate::case::{Fact, Facts, Holder};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["^RFSWITCH"], "^RFSWITCH?", "the switches of the radio", &[], read);

const fn held(holder: Holder) -> Fact {
    Fact::RadioHeld(holder)
}

const FORM: &[Column] = &[
    Column::Own(|w, f| match f.text {
        "0" => {
            w.fact(held(Holder::Host), f.span);
            Ok(())
        }
        "1" => Ok(()),
        _ => Err("0 or 1"),
    }),
    Column::Own(|w, f| match f.text {
        "0" => {
            w.fact(held(Holder::Pin), f.span);
            Ok(())
        }
        "1" => Ok(()),
        _ => Err("0 or 1"),
    }),
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["^RFSWITCH: 0,1"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Holder};
    use crate::response::sample::of;

    #[test]
    fn a_switch_that_is_off_holds_the_radio() {
        assert_eq!(of("^RFSWITCH", "0,1"), [Fact::RadioHeld(Holder::Host)]);
        assert_eq!(of("^RFSWITCH", "1,0"), [Fact::RadioHeld(Holder::Pin)]);
        assert!(of("^RFSWITCH", "1,1").is_empty());
    }
}
