//! `+QSIMSTAT`: whether a card is in the holder, by its switch.
//!
//! ```text
//! <reports on>,<state>          0 removed, 1 inserted, 2 not detected yet; the same form comes by itself
//! ```

use super::family;
use crate::case::{Fact, Facts, Sim};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+QSIMSTAT"], "+QSIMSTAT?", "whether a card is there", &[], read);

const FORM: &[Column] = &[
    Column::Word(&["0", "1"]),
    Column::Own(|w, f| {
        match f.text {
            "0" => w.fact(Fact::Sim(Sim::NotInserted), f.span),
            "1" => w.fact(Fact::Sim(Sim::Inserted), f.span),
            "2" => {}
            _ => return Err("0 to 2"),
        }
        Ok(())
    }),
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+QSIMSTAT: 0,1"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Sim};
    use crate::response::sample::{of, says};

    #[test]
    fn an_insert_state_is_no_more_than_that() {
        assert!(says(&of("+QSIMSTAT", "0,1"), &Fact::Sim(Sim::Inserted)));
        assert!(says(&of("+QSIMSTAT", "1,0"), &Fact::Sim(Sim::NotInserted)));
        assert!(of("+QSIMSTAT", "0,2").is_empty());
    }
}
