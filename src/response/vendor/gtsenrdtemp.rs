//! `+GTSENRDTEMP`: a sensor and its temperature in thousandths of a degree.

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, one_form};
use crate::response::scale::Scale;
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+GTSENRDTEMP"],
    "+GTSENRDTEMP=1",
    "module temperature",
    &[Quantity::Temperature],
    read,
);

const FORM: &[Column] =
    &[Column::Figure, Column::Number(Quantity::Temperature, Scale::Parts(1000.0))];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+GTSENRDTEMP: 1,36500"];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn thousandths_of_a_degree() {
        assert_eq!(numbers(&of("+GTSENRDTEMP", "1,36500"), Quantity::Temperature), [36.5]);
    }
}
