//! `+QUSIM`: a card has started: 0 a SIM, 1 a USIM; comes by itself.

use super::family;
use crate::case::{Fact, Facts, Sim};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(&["+QUSIM"], "", "a card has started", &[], read);

const FORM: &[Column] = &[Column::Own(|w, f| match f.text {
    "0" | "1" => {
        w.fact(Fact::Sim(Sim::Inserted), f.span);
        Ok(())
    }
    _ => Err("0 or 1"),
})];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+QUSIM: 1"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Sim};
    use crate::response::sample::of;

    #[test]
    fn a_card_that_has_started_is_there() {
        assert_eq!(of("+QUSIM", "1"), [Fact::Sim(Sim::Inserted)]);
    }
}
