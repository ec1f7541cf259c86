//! `!UIMS`: the card slot in use, counted from 0.
//!
//! ```text
//! <slot>        3,<slot>          3 stands for "automatic"; then a second field gives the slot
//! ```

use super::family;
use super::quimslot::SLOT_FROM_ZERO;
use crate::case::Facts;
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(&["!UIMS"], "!UIMS?", "the card slot in use", &[], read);

const AUTOMATIC: &[Column] = &[Column::Word(&["3"]), Column::Optional, SLOT_FROM_ZERO];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, if reply.text(0) == "3" { AUTOMATIC } else { &[SLOT_FROM_ZERO] })
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["!UIMS: 3,1", "!UIMS: 0"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn slots_are_counted_from_one_whatever_the_modem_does() {
        assert_eq!(of("!UIMS", "0"), [Fact::SimSlot(1)]);
        assert_eq!(of("!UIMS", "3,1"), [Fact::SimSlot(2)]);
    }
}
