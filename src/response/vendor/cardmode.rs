//! `^CARDMODE`: the kind of card: 0 none, 1 SIM, 2 USIM, 6 an unknown one; from memory.

use super::family;
use crate::case::{Fact, Facts, Sim};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["^CARDMODE"], "^CARDMODE", "the kind of card", &[], read);

const FORM: &[Column] = &[Column::Own(|w, f| {
    let sim = match f.text {
        "0" => Sim::NotInserted,
        "1" | "2" => Sim::Inserted,
        _ => return Err("0 to 2"),
    };
    w.fact(Fact::Sim(sim), f.span);
    Ok(())
})];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["^CARDMODE: 2"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Sim};
    use crate::response::sample::of;

    #[test]
    fn no_kind_is_no_card() {
        assert_eq!(of("^CARDMODE", "2"), [Fact::Sim(Sim::Inserted)]);
        assert_eq!(of("^CARDMODE", "0"), [Fact::Sim(Sim::NotInserted)]);
    }
}
