//! `#SERVINFO`: the serving cell in one line.
//!
//! ```text
//! EARFCN,RSSI,"<name>","<PLMN>",cell,TAC,DRX,SD,RSRP
//! ARFCN,dBm,"<name>","<PLMN>",BSIC,LAC,TA,GPRS,[PB ARFCN],"<NOM>",RAC,PAT
//! 65535,-0,…                                                              no cell
//! ```
//!
//! The UMTS form is not verified and not read.

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{AREA, CELL, Column, PLMN, plain, whole};
use crate::response::{Family, Read, Response};
use Column::{Figure, Rest, Text};

pub(super) static FAMILY: Family = family(
    &["#SERVINFO"],
    "#SERVINFO",
    "the serving cell with its levels",
    &[
        Quantity::Rsrp,
        Quantity::Rssi,
        Quantity::Rxlev,
        Quantity::Earfcn,
        Quantity::Arfcn,
        Quantity::Bsic,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Mcc,
        Quantity::Mnc,
    ],
    read,
);

const NONE: &[Column] = &[Figure, Figure, Rest];
const EUTRA: &[Column] = &[
    plain(Quantity::Earfcn),
    plain(Quantity::Rssi),
    Text,
    PLMN,
    CELL,
    AREA,
    Figure,
    Figure,
    plain(Quantity::Rsrp),
];
const GSM: &[Column] = &[
    plain(Quantity::Arfcn),
    plain(Quantity::Rxlev),
    Text,
    PLMN,
    plain(Quantity::Bsic),
    AREA,
    Figure,
    Figure,
    Figure,
    Text,
    Figure,
    Figure,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        // A cell identity is longer than a base station identity code.
        let form = match (reply.text(0), reply.fields().len(), reply.text(4).len()) {
            ("65535" | "", ..) => NONE,
            (_, 9, 5..) => EUTRA,
            (_, 12, 1..=2) => GSM,
            _ => return Err(reply.no_form(4)),
        };
        w.row(reply, form)
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    r#"#SERVINFO: 6400,-43,"EXAMPLE","00101",00000DC,723C,32,3,-60"#,
    r#"#SERVINFO: 42,-93,"EXAMPLE","00101",63,CF38,03,1,,"II",01,6"#,
];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn service_information_of_lte_ends_in_the_power() {
        let found = of("#SERVINFO", "6400,-43,\"EXAMPLE\",\"00101\",00000DC,723C,32,3,-60");
        assert_eq!(numbers(&found, Quantity::Rssi), [-43.0]);
        assert_eq!(numbers(&found, Quantity::Rsrp), [-60.0]);
        let found = of("#SERVINFO", "42,-93,\"EXAMPLE\",\"00101\",63,CF38,03,1,,\"II\",01,6");
        assert_eq!(numbers(&found, Quantity::Rxlev), [-93.0]);
        assert!(of("#SERVINFO", "65535,-0,\"\",\"\",,,,,").is_empty());
    }
}
