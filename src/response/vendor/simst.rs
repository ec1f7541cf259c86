//! `^SIMST`: the state of the card: 1 valid, 255 absent; others are not verified. Comes by itself.
//!
//! ```text
//! <state>[,<lock>]
//! ```

use super::family;
use super::sysinfoex;
use crate::case::Facts;
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(&["^SIMST"], "", "the state of the card", &[], read);

const FORM: &[Column] = &[sysinfoex::CARD, Column::Optional, Column::Figure];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["^SIMST: 255,0"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Sim};
    use crate::response::sample::{of, says};

    #[test]
    fn a_missing_card_is_named() {
        assert!(says(&of("^SIMST", "255,0"), &Fact::Sim(Sim::NotInserted)));
        assert!(says(&of("^SIMST", "1"), &Fact::Sim(Sim::Ready)));
    }
}
