//! `^CARDLOCK`: the lock of the device to a network.
//!
//! ```text
//! <1 a code unlocks it | 2 not locked | 3 locked for good>,<attempts>[,<network>]
//! ```
//!
//! From memory.

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["^CARDLOCK"], "^CARDLOCK?", "the lock of the device to a network", &[], read);

const FORM: &[Column] = &[
    Column::Own(|w, f| {
        let locked = match f.text {
            "1" | "3" => true,
            "2" => false,
            _ => return Err("1 to 3"),
        };
        w.fact(Fact::Facility("PN".to_owned(), locked), f.span);
        Ok(())
    }),
    Column::Figure,
    Column::Optional,
    Column::Figure,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["^CARDLOCK: 2,10,0"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn attempts_left_are_no_lock() {
        assert_eq!(of("^CARDLOCK", "2,10,0"), [Fact::Facility("PN".into(), false)]);
        assert_eq!(of("^CARDLOCK", "1,10,0"), [Fact::Facility("PN".into(), true)]);
    }
}
