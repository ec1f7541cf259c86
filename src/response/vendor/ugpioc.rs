//! `+UGPIOC`: the function of each pin, a line a pin; function 7 reads the card holder's switch, 255 is none.
//!
//! ```text
//! +UGPIOC:
//! <pin>,<function>
//! ```
//!
//! From memory.

use super::family;
use crate::case::{Fact, Facts};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+UGPIOC"], "+UGPIOC?", "whether a pin reads the card holder", &[], read);

const ROW: &[Column] = &[Column::Figure, Column::Figure];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let mut pins = 0;
        for line in reply.lines().filter(|line| !line.text.trim().is_empty()) {
            let Some((_, function)) = line.text.split_once(',') else { continue };
            w.line(line, ROW)?;
            pins += 1;
            if function.trim() == "7" && !line.open {
                w.fact(Fact::CardDetection(true, None), reply.span);
            }
        }
        if pins == 0 { Err(reply.no_form(0)) } else { Ok(()) }
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+UGPIOC:\n16,2\n23,255\n42,7"];

#[cfg(test)]
mod tests {
    use crate::case::Fact;
    use crate::response::sample::of_block;

    #[test]
    fn a_pin_may_read_the_holder() {
        assert_eq!(of_block("+UGPIOC", "", &["16,2", "42,7"]), [Fact::CardDetection(true, None)]);
        assert_eq!(of_block("+UGPIOC", "", &["16,2", "42,255"]), []);
    }
}
