//! `+UCGED`: the serving cell over three lines; the cell's own line has a form with indices and one
//! with plain values; the sixth field tells which.
//!
//! ```text
//! +UCGED: 2
//! <rat>,[<service>,]<MCC>,<MNC>
//! EARFCN,band,UL,DL,TAC,cell,PCI,…,RSRP index,RSRQ index,SINR,…           indices
//! EARFCN,band,UL,DL,TAC,PCI,RSRP,RSRQ,…                                   plain
//! ARFCN,<1900>,cell,BSIC,LAC,RAC,rxlev,…        UARFCN,band,cell,LAC,RAC,PSC,RRC,RSSI,Ec/No
//! ```

use super::family;
use crate::case::Fact;
use crate::case::{Facts, Quantity, Rat};
use crate::response::columns::{AREA, BLOCKS, CELL, Column, MCC, MNC, plain, whole};
use crate::response::{Family, Read, Response, fields, scale};
use Column::{Digits, Figure, Number, Optional, Own, Rest, Text};

pub(super) static FAMILY: Family = family(
    &["+UCGED"],
    "+UCGED?",
    "serving cell and its levels, once its report is on",
    &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Sinr,
        Quantity::Earfcn,
        Quantity::Pci,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::BandwidthMhz,
        Quantity::Arfcn,
        Quantity::Uarfcn,
        Quantity::Rxlev,
        Quantity::EcNo,
        Quantity::Rssi,
        Quantity::Mcc,
        Quantity::Mnc,
    ],
    read,
);

const RAT: Column = Own(|w, f| {
    let rat = technology(f.small()).ok_or("a technology number")?;
    w.fact(Fact::Technology(rat), f.span);
    Ok(())
});
/// The band was seen not to fit its channel; the channel alone is read.
const INDICES: &[Column] = &[
    plain(Quantity::Earfcn),
    Figure,
    Figure,
    BLOCKS,
    AREA,
    CELL,
    plain(Quantity::Pci),
    Digits,
    Digits,
    Digits,
    Number(Quantity::Rsrp, scale::RSRP),
    Number(Quantity::Rsrq, scale::RSRQ),
    Own(
        |w, f| {
            if f.text == "255" { Ok(()) } else { w.level(Quantity::Sinr, f, scale::Scale::Plain) }
        },
    ),
    Figure,
    Optional,
    Rest,
];
const PLAIN: &[Column] = &[
    plain(Quantity::Earfcn),
    Figure,
    Figure,
    BLOCKS,
    AREA,
    plain(Quantity::Pci),
    plain(Quantity::Rsrp),
    plain(Quantity::Rsrq),
    Figure,
    Optional,
    Rest,
];
const GSM: &[Column] =
    &[
        Own(|w, f| {
            if f.text == "65535" {
                Ok(())
            } else {
                w.level(Quantity::Arfcn, f, scale::Scale::Plain)
            }
        }),
        Figure,
        CELL,
        Text,
        AREA,
        Digits,
        Number(Quantity::Rxlev, scale::RXLEV),
        Optional,
        Rest,
    ];
const UTRA: &[Column] = &[
    plain(Quantity::Uarfcn),
    Figure,
    Digits,
    AREA,
    Digits,
    Figure,
    Figure,
    plain(Quantity::Rssi),
    plain(Quantity::EcNo),
    Optional,
    Rest,
];

fn technology(number: Option<u8>) -> Option<Rat> {
    match number? {
        2 => Some(Rat::Gsm),
        3 => Some(Rat::Utra),
        4 | 6 => Some(Rat::Lte),
        7 => Some(Rat::NbIot),
        _ => None,
    }
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let mut lines = reply.lines().skip(1);
        // The mode alone, or another mode's own response below it.
        let (Some(network), Some(cell)) = (lines.next(), lines.next()) else { return Ok(()) };
        let first = fields(network.text, network.at);
        let network_form: &[Column] =
            if first.len() == 3 { &[RAT, MCC, MNC] } else { &[RAT, Figure, MCC, MNC] };
        w.line(network, network_form)?;
        let row = fields(cell.text, cell.at);
        let form = match technology(first[0].small()) {
            Some(Rat::Gsm) => GSM,
            Some(Rat::Utra) => UTRA,
            // A cell identity has five digits or more, a PCI three at most.
            _ if row.get(5).is_some_and(|f| f.text.len() >= 5)
                && row.get(5).map(|f| f.text) != Some("65535") =>
            {
                INDICES
            }
            _ => PLAIN,
        };
        w.line(cell, form)
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "+UCGED: 2\n6,4,001,01\n2525,5,50,50,db99,be3175e,1,1f07bfa8,8001,01,28,31,13.75,3,1,10,28",
    "+UCGED: 2\n6,001,01\n5110,12,10,10,ef8e,162,-86,-14,131,-1,3",
];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of_block};

    #[test]
    fn the_sixth_field_tells_the_form() {
        let a = of_block(
            "+UCGED",
            "2",
            &["6,4,001,01", "2525,5,50,50,db99,be3175e,1,1f07bfa8,8001,01,28,31,13.75,3,1,10,28"],
        );
        assert_eq!(numbers(&a, Quantity::Rsrp), [-113.0]);
        assert_eq!(numbers(&a, Quantity::Rsrq), [-4.5]);
        assert_eq!(numbers(&a, Quantity::Sinr), [13.75]);
        let b = of_block("+UCGED", "2", &["6,001,01", "5110,12,10,10,ef8e,162,-86,-14,131,-1,3"]);
        assert_eq!(numbers(&b, Quantity::Rsrp), [-86.0]);
        let none = of_block(
            "+UCGED",
            "2",
            &["6,2,fff,fff", "65535,255,255,255,ffff,0000000,65535,00000000,ffff,ff,255,255,255,1"],
        );
        assert!(
            numbers(&none, Quantity::Rsrp).is_empty()
                && numbers(&none, Quantity::CellId).is_empty()
        );
    }
}
