//! `+NPSMR`, `+UUPSMR`: power saving begins (1) or ends (0).
//!
//! ```text
//! read  <reports on>,<state>          unsolicited  <state>
//! ```
//!
//! `+UUPSMR` is from memory; its 2 delays the sleep.

use super::family;
use crate::case::{Fact, Facts, Power};
use crate::response::columns::{Column, whole};
use crate::response::{Family, Form, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+NPSMR", "+UUPSMR"], "+NPSMR?", "power saving begins or ends", &[], read);

const STATE: Column = Column::Own(|w, f| {
    let power = match f.text {
        "0" => Power::Awake,
        "1" => Power::Asleep,
        "2" => return Ok(()),
        _ => return Err("0 or 1"),
    };
    w.fact(Fact::Power(power), f.span);
    Ok(())
});

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| match (reply.form, reply.fields().len()) {
        (Form::Unsolicited | Form::Unknown, 1) => w.row(reply, &[STATE]),
        _ if reply.is("+UUPSMR") => w.row(reply, &[STATE, Column::Optional, Column::Figure]),
        _ => w.row(reply, &[Column::Word(&["0", "1"]), STATE]),
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+NPSMR: 0,1"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Power};
    use crate::response::sample::of;

    #[test]
    fn the_second_number_of_a_read_is_the_state() {
        assert_eq!(of("+NPSMR", "0,1"), [Fact::Power(Power::Asleep)]);
        assert_eq!(of("+NPSMR", "1,0"), [Fact::Power(Power::Awake)]);
    }
}
