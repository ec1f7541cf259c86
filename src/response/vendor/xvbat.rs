//! `%XVBAT`: the supply voltage in millivolts.

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, one_form, plain};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["%XVBAT"], "%XVBAT", "supply voltage", &[Quantity::SupplyMillivolt], read);

const FORM: &[Column] = &[plain(Quantity::SupplyMillivolt)];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["%XVBAT: 3621"];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn the_supply_is_in_millivolts() {
        assert_eq!(numbers(&of("%XVBAT", "3621"), Quantity::SupplyMillivolt), [3621.0]);
    }
}
