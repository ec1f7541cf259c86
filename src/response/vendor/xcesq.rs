//! `+XCESQ`: levels as indices, with RSRQ before RSRP.
//!
//! ```text
//! <n>,rxlev,ber,RSCP,Ec/No,RSRQ,RSRP,RSSNR         RSSNR in halves of a decibel
//! ```

use super::{family, xmci};
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, one_form};
use crate::response::{Family, Read, Response, scale};
use Column::{Figure, Number, Own};

pub(super) static FAMILY: Family = family(
    &["+XCESQ"],
    "+XCESQ?",
    "levels of the serving cell, as indices",
    &[Quantity::Rxlev, Quantity::Rscp, Quantity::Rsrq, Quantity::Rsrp, Quantity::Sinr],
    read,
);

const FORM: &[Column] = &[
    Figure,
    Number(Quantity::Rxlev, scale::RXLEV),
    Figure,
    Number(Quantity::Rscp, scale::RSCP),
    Figure,
    Number(Quantity::Rsrq, scale::RSRQ),
    Number(Quantity::Rsrp, scale::RSRP),
    Own(xmci::ratio),
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &["+XCESQ: 0,99,99,255,255,10,34,16"];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn quality_stands_before_power() {
        let levels = of("+XCESQ", "0,99,99,255,255,10,34,16");
        assert_eq!(numbers(&levels, Quantity::Rsrq), [-15.0]);
        assert_eq!(numbers(&levels, Quantity::Rsrp), [-107.0]);
        assert_eq!(numbers(&levels, Quantity::Sinr), [8.0]);
    }
}
