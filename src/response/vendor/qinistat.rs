//! `+QINISTAT`: what the start has read of the card, a sum: 1 its code is open, 2 messages, 4 phone book.

use super::family;
use crate::case::{Fact, Facts, Sim};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QINISTAT"], "+QINISTAT", "what the start has read of the card", &[], read);

const FORM: &[Column] = &[Column::Own(|w, f| {
    match f.text {
        "0" => {}
        "1" | "2" | "3" | "4" | "5" | "6" | "7" => w.fact(Fact::Sim(Sim::Ready), f.span),
        _ => return Err("0 to 7"),
    }
    Ok(())
})];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+QINISTAT: 7"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Sim};
    use crate::response::sample::of;

    #[test]
    fn a_sum_tells_how_far_the_card_was_read() {
        assert_eq!(of("+QINISTAT", "7"), [Fact::Sim(Sim::Ready)]);
        assert!(of("+QINISTAT", "0").is_empty());
    }
}
