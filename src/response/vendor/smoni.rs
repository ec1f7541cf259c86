//! `^SMONI`: the serving cell, one form a generation.
//!
//! ```text
//! 4G,EARFCN,band,DL,UL,<duplex>,MCC,MNC,TAC,cell,PCI,<srxlev or power>,RSRP,RSRQ,<state>
//! 3G,UARFCN,PSC,Ec/No,RSCP,MCC,MNC,LAC,cell,…,<state>
//! 2G,ARFCN,dBm,MCC,MNC,LAC,cell,C1,C2,NCC,BCC,GPRS,<state>
//! 4G,SEARCH        3G,SEARCH,SEARCH
//! ```

use super::family;
use crate::case::{Facts, Quantity};
use crate::response::columns::{AREA, CELL, Column, MCC, MNC, plain, whole};
use crate::response::names::{note_service, note_technology};
use crate::response::{Family, Read, Response};
use Column::{Figure, Optional, Own, Rest, Text, Word};

pub(super) static FAMILY: Family = family(
    &["^SMONI"],
    "^SMONI",
    "the serving cell and whether it gives service",
    &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Rscp,
        Quantity::EcNo,
        Quantity::Rxlev,
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::Uarfcn,
        Quantity::Arfcn,
        Quantity::Pci,
        Quantity::Psc,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Mcc,
        Quantity::Mnc,
        Quantity::BandwidthMhz,
        Quantity::UplinkBandwidthMhz,
        Quantity::Srxlev,
        Quantity::TxPower,
    ],
    read,
);

const TECHNOLOGY: Column = Own(note_technology);
const STATE: Column = Own(note_service);
const SEARCH: &[Column] = &[Text, STATE, Optional, Word(&["SEARCH"])];

/// The form of E-UTRA; while connected, the transmit power stands before the levels.
const fn eutra(eleventh: Quantity) -> [Column; 15] {
    [
        TECHNOLOGY,
        plain(Quantity::Earfcn),
        plain(Quantity::Band),
        plain(Quantity::BandwidthMhz),
        plain(Quantity::UplinkBandwidthMhz),
        Word(&["FDD", "TDD"]),
        MCC,
        MNC,
        AREA,
        CELL,
        plain(Quantity::Pci),
        plain(eleventh),
        plain(Quantity::Rsrp),
        plain(Quantity::Rsrq),
        STATE,
    ]
}
const IDLE: &[Column] = &eutra(Quantity::Srxlev);
const CONNECTED: &[Column] = &eutra(Quantity::TxPower);

/// When connected, the form goes on behind the levels and ends in numbers.
const UTRA: &[Column] = &[
    TECHNOLOGY,
    plain(Quantity::Uarfcn),
    plain(Quantity::Psc),
    plain(Quantity::EcNo),
    plain(Quantity::Rscp),
    MCC,
    MNC,
    AREA,
    CELL,
    Figure,
    Figure,
    STATE,
    Optional,
    Rest,
];
const GSM: &[Column] = &[
    TECHNOLOGY,
    plain(Quantity::Arfcn),
    plain(Quantity::Rxlev),
    MCC,
    MNC,
    AREA,
    CELL,
    Figure,
    Figure,
    Figure,
    Figure,
    Text,
    STATE,
    Optional,
    Rest,
];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        if reply.text(1).eq_ignore_ascii_case("SEARCH") {
            return w.row(reply, SEARCH);
        }
        let form = match (reply.text(0).to_ascii_uppercase().as_str(), reply.text(14)) {
            ("4G", "CONN") => CONNECTED,
            ("4G", _) => IDLE,
            ("3G", _) => UTRA,
            ("2G", _) => GSM,
            _ => return Err(reply.no_form(0)),
        };
        w.row(reply, form)
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "^SMONI: 4G,6300,20,10,10,FDD,001,01,620C,0295500,350,33,-94,-7,LIMSRV",
    "^SMONI: 3G,4379,230,-9.0,-92,001,01,EB01,0993ED0,9,11,NOCONN",
    "^SMONI: 2G,71,-61,999,01,0449,1780,33,33,3,6,G,NOCONN",
    "^SMONI: 4G,SEARCH",
];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Quantity, Service};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn the_same_levels_with_and_without_service() {
        let found = of("^SMONI", "4G,6300,20,10,10,FDD,001,01,620C,0295500,350,33,-94,-7,LIMSRV");
        assert!(says(&found, &Fact::Service(Service::Limited)));
        assert_eq!(numbers(&found, Quantity::Rsrp), [-94.0]);
        assert_eq!(numbers(&found, Quantity::Rsrq), [-7.0]);
        assert_eq!(numbers(&found, Quantity::Srxlev), [33.0]);
        assert_eq!(numbers(&found, Quantity::Band), [20.0]);
    }

    #[test]
    fn searching_tells_no_cell() {
        assert_eq!(of("^SMONI", "4G,SEARCH"), [Fact::Service(Service::Searching)]);
        assert_eq!(of("^SMONI", "3G,SEARCH,SEARCH"), [Fact::Service(Service::Searching)]);
    }

    #[test]
    fn older_generations_have_their_own_order() {
        let utra = of("^SMONI", "3G,4379,230,-9.0,-92,001,01,EB01,0993ED0,9,11,NOCONN");
        assert_eq!(numbers(&utra, Quantity::EcNo), [-9.0]);
        assert_eq!(numbers(&utra, Quantity::Rscp), [-92.0]);
        let gsm = of("^SMONI", "2G,71,-61,999,01,0449,1780,33,33,3,6,G,NOCONN");
        assert_eq!(numbers(&gsm, Quantity::Rxlev), [-61.0]);
    }
}
