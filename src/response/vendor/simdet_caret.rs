//! `^SIMDET`: whether the holder's switch is read, and its level; from memory.
//!
//! ```text
//! <0 off | 1 on>[,<level of a card that is in>]
//! ```

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["^SIMDET"], "^SIMDET?", "how the card holder is watched", &[], read);

const SWITCH: Column = Column::Word(&["0", "1"]);
const FORM: &[Column] = &[SWITCH, Column::Optional, SWITCH];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        let level = reply.fields().get(1).map(|f| f.text == "1");
        // The end of a text may have cut the level.
        if reply.open && level.is_none() {
            return Ok(());
        }
        w.fact(Fact::CardDetection(reply.text(0) == "1", level), reply.span);
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["^SIMDET: 1,0"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn switch_and_level_are_read() {
        assert_eq!(of("^SIMDET", "1,0"), [Fact::CardDetection(true, Some(false))]);
    }
}
