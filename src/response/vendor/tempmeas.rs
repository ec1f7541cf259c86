//! `#TEMPMEAS`, `#TEMPMON`: a level from -2 to 2 and degrees; ±2 is beyond the limit.

use super::cmte;
use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, one_form, plain};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["#TEMPMEAS", "#TEMPMON"],
    "#TEMPMEAS",
    "module temperature",
    &[Quantity::Temperature],
    read,
);

const FORM: &[Column] = &[cmte::LEVEL, plain(Quantity::Temperature)];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["#TEMPMEAS: 0,31"];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Power, Quantity};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn a_level_stands_before_the_degrees() {
        assert_eq!(numbers(&of("#TEMPMEAS", "0,31"), Quantity::Temperature), [31.0]);
        assert!(says(&of("#TEMPMEAS", "2,96"), &Fact::Power(Power::Temperature)));
    }
}
