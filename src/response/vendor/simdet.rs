//! `#SIMDET`: how the holder's switch is read, and what it says.
//!
//! ```text
//! <0 "no card" forced | 1 "card" forced | 2 by the pin>,<pin 0|1>
//! ```
//!
//! On some modules the first field is a slot, perhaps not the one in use, so that only a mode of 2 tells of a missing card,
//! and only a pin of 1 of a card.

use super::family;
use crate::case::{Fact, Facts, Sim};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["#SIMDET"],
    "#SIMDET?",
    "how the card holder is watched, and whether a card is there",
    &[],
    read,
);

const FORM: &[Column] = &[Column::Word(&["0", "1", "2"]), Column::Word(&["0", "1"])];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, FORM)?;
        let (by_pin, card) = (reply.text(0) == "2", reply.text(1) == "1");
        if by_pin {
            w.fact(Fact::CardDetection(true, None), reply.fields()[0].span);
        }
        if card {
            w.fact(Fact::Sim(Sim::Inserted), reply.fields()[1].span);
        }
        Ok(())
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["#SIMDET: 2,1"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Sim};
    use crate::response::sample::{of, says};

    #[test]
    fn a_pin_tells_of_a_card() {
        assert!(says(&of("#SIMDET", "2,1"), &Fact::Sim(Sim::Inserted)));
        assert_eq!(of("#SIMDET", "2,0"), [Fact::CardDetection(true, None)]);
        assert_eq!(of("#SIMDET", "1,0"), []);
    }
}
