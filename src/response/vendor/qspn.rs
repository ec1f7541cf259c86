//! `+QSPN`: the names of the network in use, that of the card, and the network code.
//!
//! ```text
//! "<full>","<short>","<the card's own name>",<alphabet>,"<network code>"
//! ```

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{Column, PLMN, one_form};
use crate::response::{Family, Read, Response};

pub(super) static FAMILY: Family = family(
    &["+QSPN"],
    "+QSPN",
    "names and code of the network in use",
    &[Quantity::Mcc, Quantity::Mnc],
    read,
);

const FORM: &[Column] =
    &[Column::Text, Column::Text, Column::Text, Column::Word(&["0", "1"]), PLMN];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    one_form(reply, facts, FORM)
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[r#"+QSPN: "Example Net","Example","",0,"00101""#];
