//! `+QUIMSLOT`: the card slot in use, counted from 1.

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QUIMSLOT"], "+QUIMSLOT?", "the card slot in use", &[], read);

const FORM: &[Column] = &[SLOT];
/// A slot counted from 1.
pub(super) const SLOT: Column = Column::Own(|w, f| match f.text {
    "1" | "2" | "3" | "4" => {
        w.fact(Fact::SimSlot(f.text.as_bytes()[0] - b'0'), f.span);
        Ok(())
    }
    _ => Err("1 to 4"),
});
/// A slot counted from 0.
pub(super) const SLOT_FROM_ZERO: Column = Column::Own(|w, f| match f.text {
    "0" | "1" | "2" | "3" => {
        w.fact(Fact::SimSlot(f.text.as_bytes()[0] - b'0' + 1), f.span);
        Ok(())
    }
    _ => Err("0 to 3"),
});

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+QUIMSLOT: 1"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn slots_are_counted_from_one() {
        assert_eq!(of("+QUIMSLOT", "1"), [Fact::SimSlot(1)]);
        assert_eq!(of("+QUIMSLOT", "0"), []);
    }
}
