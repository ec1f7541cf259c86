//! `%XTEMP`: the temperature in degrees; a read, and the form that comes by itself, have a level before it.

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, plain, whole};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family =
    family(&["%XTEMP"], "%XTEMP?", "module temperature", &[Quantity::Temperature], read);

const ALONE: &[Column] = &[plain(Quantity::Temperature)];
const WITH_LEVEL: &[Column] = &[Column::Figure, plain(Quantity::Temperature)];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        w.row(reply, if reply.fields().len() == 1 { ALONE } else { WITH_LEVEL })
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["%XTEMP: 1,41"];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn a_level_may_stand_before_the_temperature() {
        assert_eq!(numbers(&of("%XTEMP", "1,41"), Quantity::Temperature), [41.0]);
        assert_eq!(numbers(&of("%XTEMP", "41"), Quantity::Temperature), [41.0]);
    }
}
