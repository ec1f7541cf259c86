//! `#SIMSELECT`: the card slot in use, counted from 1.

use super::family;
use super::quimslot::SLOT;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["#SIMSELECT"], "#SIMSELECT?", "the card slot in use", &[], read);

const FORM: &[Column] = &[SLOT, Column::Optional, Column::Rest];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["#SIMSELECT: 1"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn slots_are_counted_from_one() {
        assert_eq!(of("#SIMSELECT", "2"), [Fact::SimSlot(2)]);
    }
}
