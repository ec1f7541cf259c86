//! `+XMCI`: cells in quoted hexadecimal, a row each; row 4 is the serving one, row 5 a neighbour.
//!
//! ```text
//! 4|5,MCC,MNC,"<TAC>","<cell>","<PCI>","<DL channel>","<UL channel>","<?>",RSRP,RSRQ,RSSNR,"<TA>","<CQI>"
//! ```
//!
//! Rows 0 to 3 (GSM and UMTS) are known; their columns are not.

use super::family;
use crate::case::{Cell, Facts, Quantity};
use crate::response::columns::{AREA, CELL, Column, MCC, MNC, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::{Family, Field, Read, Response, scale};
use Column::{Digits, Figure, Hex, Number, Own, Rest};

pub(super) static FAMILY: Family = family(
    &["+XMCI"],
    "+XMCI=1",
    "serving and neighbour cells and their levels",
    &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Sinr,
        Quantity::Earfcn,
        Quantity::Pci,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Mcc,
        Quantity::Mnc,
    ],
    read,
);

const EUTRA: &[Column] = &[
    Figure,
    MCC,
    MNC,
    AREA,
    CELL,
    Hex(Quantity::Pci),
    Hex(Quantity::Earfcn),
    Digits,
    Digits,
    Number(Quantity::Rsrp, scale::RSRP),
    Number(Quantity::Rsrq, scale::RSRQ),
    Own(ratio),
    Digits,
    Digits,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let form = match reply.text(0) {
            "4" => EUTRA,
            "5" => {
                w.turn_to(Cell::Neighbour);
                EUTRA
            }
            "0" | "1" | "2" | "3" => &[Figure, Rest],
            _ => return Err(reply.no_form(0)),
        };
        w.row(reply, form)
    })
}

/// Halves of a decibel; 255 where there is none.
pub(super) fn ratio(w: &mut FactWriter<'_>, field: &Field<'_>) -> Taken {
    if field.text == "255" {
        w.unknown(Quantity::Sinr, field.span);
        return Ok(());
    }
    w.level(Quantity::Sinr, field, scale::Scale::Parts(2.0))
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    r#"+XMCI: 4,001,01,"0x1E3A","0x09892643","0x002E","0x00000145","0x00004795","0xFFFFFFFF",70,25,50,"0x00000000","0x00000000""#,
];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn quoted_numbers_are_hexadecimal() {
        let cell = of(
            "+XMCI",
            "4,001,01,\"0x1E3A\",\"0x09892643\",\"0x002E\",\"0x00000145\",\"0x00004795\",\"0xFFFFFFFF\",70,25,50,\"0x00000000\",\"0x00000000\"",
        );
        assert_eq!(numbers(&cell, Quantity::Pci), [46.0]);
        assert_eq!(numbers(&cell, Quantity::Earfcn), [325.0]);
        assert_eq!(numbers(&cell, Quantity::Rsrp), [-71.0]);
        assert_eq!(numbers(&cell, Quantity::Sinr), [25.0]);
    }
}
