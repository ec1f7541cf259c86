//! `^MONSC`: the serving cell; the technology's name fixes the fields that follow.
//!
//! LTE: `MCC,MNC,EARFCN,cell hex,PCI hex,TAC hex,RSRP,RSRQ,RSSI`; NR: `MCC,MNC,ARFCN,spacing,cell
//! hex,PCI hex,TAC hex,RSRP,RSRQ,SINR`; UMTS (from memory): `MCC,MNC,UARFCN,PSC,cell,LAC,RSCP,
//! level,Ec/No,…`; GSM: known, nothing but the network is kept.

use super::family;
use crate::case::{Fact, Facts, Quantity, Rat, Service};
use crate::response::columns::{AREA, CELL, Column, MCC, MNC, SPACING, plain, whole};
use crate::response::names::{note_technology, technology};
use crate::response::{Family, Read, Response};
use Column::{Figure, Hex, Own, Rest};

pub(super) static FAMILY: Family = family(
    &["^MONSC"],
    "^MONSC",
    "serving cell and its levels",
    &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Rssi,
        Quantity::Sinr,
        Quantity::Earfcn,
        Quantity::NrArfcn,
        Quantity::Pci,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Uarfcn,
        Quantity::Rscp,
        Quantity::SubcarrierKhz,
        Quantity::Mcc,
        Quantity::Mnc,
    ],
    read,
);

const TECHNOLOGY: Column = Own(note_technology);
const PCI: Column = Hex(Quantity::Pci);
const RSRP: Column = plain(Quantity::Rsrp);
const RSRQ: Column = plain(Quantity::Rsrq);
const NONE: &[Column] = &[Own(|w, f| {
    w.fact(Fact::Service(Service::None), f.span);
    Ok(())
})];
const EUTRA: &[Column] = &[
    TECHNOLOGY,
    MCC,
    MNC,
    plain(Quantity::Earfcn),
    CELL,
    PCI,
    AREA,
    RSRP,
    RSRQ,
    plain(Quantity::Rssi),
];
const NR: &[Column] = &[
    TECHNOLOGY,
    MCC,
    MNC,
    plain(Quantity::NrArfcn),
    SPACING,
    CELL,
    PCI,
    AREA,
    RSRP,
    RSRQ,
    plain(Quantity::Sinr),
];
const UTRA: &[Column] = &[
    TECHNOLOGY,
    MCC,
    MNC,
    plain(Quantity::Uarfcn),
    Figure,
    CELL,
    AREA,
    plain(Quantity::Rscp),
    Figure,
    Rest,
];
const GSM: &[Column] = &[TECHNOLOGY, MCC, MNC, Figure, Figure, Rest];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        let word = reply.text(0);
        let form = match technology(word) {
            None if word.eq_ignore_ascii_case("NONE") => NONE,
            Some(Rat::Lte | Rat::LteM | Rat::NbIot) => EUTRA,
            Some(Rat::Nr) => NR,
            Some(Rat::Utra) => UTRA,
            Some(Rat::Gsm) => GSM,
            None => return Err(reply.no_form(0)),
        };
        w.row(reply, form)
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "^MONSC: LTE,001,01,6300,149124F,142,874C,-96,-8,-67",
    "^MONSC: NR,001,01,524910,1,3F4D2D642,114,15BC22,-73,-9,24",
    "^MONSC: NONE",
];

#[cfg(test)]
mod tests {
    use crate::case::Quantity;
    use crate::response::sample::{numbers, of};

    #[test]
    fn the_cells_number_is_hexadecimal_and_levels_are_plain() {
        let lte = of("^MONSC", "LTE,001,01,6300,149124F,142,874C,-96,-8,-67");
        assert_eq!(numbers(&lte, Quantity::Pci), [322.0]);
        assert_eq!(numbers(&lte, Quantity::Rsrp), [-96.0]);
        assert_eq!(numbers(&lte, Quantity::Rssi), [-67.0]);
        let nr = of("^MONSC", "NR,001,01,524910,1,3F4D2D642,114,15BC22,-73,-9,24");
        assert_eq!(numbers(&nr, Quantity::Sinr), [24.0]);
        assert_eq!(numbers(&nr, Quantity::SubcarrierKhz), [30.0]);
    }
}
