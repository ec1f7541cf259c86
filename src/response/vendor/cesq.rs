//! `%CESQ`: power and quality as indices, each with the step of its threshold.
//!
//! ```text
//! <RSRP>,<step>[,<RSRQ>,<step>]
//! ```

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response, scale};

pub(super) static FAMILY: Family = family(
    &["%CESQ"],
    "%CESQ=1",
    "levels of LTE-M and NB-IoT, as they change",
    &[Quantity::Rsrp, Quantity::Rsrq],
    read,
);

const FORM: &[Column] = &[
    Column::Number(Quantity::Rsrp, scale::RSRP),
    Column::Figure,
    Column::Optional,
    Column::Number(Quantity::Rsrq, scale::RSRQ),
    Column::Figure,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["%CESQ: 20,0,7,0"];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn thresholds_are_no_levels() {
        let found = of("%CESQ", "20,0,7,0");
        assert_eq!(numbers(&found, Quantity::Rsrp), [-121.0]);
        assert_eq!(numbers(&found, Quantity::Rsrq), [-16.5]);
    }
}
