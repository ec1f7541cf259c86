//! `+QSIMDET`: how the holder's switch is read.
//!
//! ```text
//! <enabled>,<level of a card that is in>        0 low, 1 high
//! ```
//!
//! Detection that is switched on with the wrong level lets a card that is there look absent.

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QSIMDET"], "+QSIMDET?", "how the card holder is watched", &[], read);

const FORM: &[Column] = &[Column::Word(&["0", "1"]), Column::Word(&["0", "1"])];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        let level = Some(reply.text(1) == "1");
        w.fact(Fact::CardDetection(reply.text(0) == "1", level), reply.span);
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+QSIMDET: 1,0"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of;

    #[test]
    fn the_second_number_is_the_level_of_a_card() {
        assert_eq!(of("+QSIMDET", "1,0"), [Fact::CardDetection(true, Some(false))]);
        assert_eq!(of("+QSIMDET", "0,1"), [Fact::CardDetection(false, Some(true))]);
    }
}
