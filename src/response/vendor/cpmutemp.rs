//! `+CPMUTEMP`: degrees, and a state on some.

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, one_form, plain};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["+CPMUTEMP"], "+CPMUTEMP", "module temperature", &[Quantity::Temperature], read);

const FORM: &[Column] = &[plain(Quantity::Temperature), Column::Optional, Column::Figure];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+CPMUTEMP: 24"];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn degrees_stand_first() {
        assert_eq!(numbers(&of("+CPMUTEMP", "24"), Quantity::Temperature), [24.0]);
    }
}
