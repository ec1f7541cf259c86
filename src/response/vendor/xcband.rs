//! `%XCBAND`: the band in use; 0 where there is none.

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, one_form, plain};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["%XCBAND"], "%XCBAND", "the band in use", &[Quantity::Band], read);

const FORM: &[Column] = &[plain(Quantity::Band)];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["%XCBAND: 20"];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn zero_is_no_band() {
        assert_eq!(numbers(&of("%XCBAND", "20"), Quantity::Band), [20.0]);
        assert_eq!(numbers(&of("%XCBAND", "0"), Quantity::Band), [] as [f64; 0]);
    }
}
