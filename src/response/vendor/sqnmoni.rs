//! `+SQNMONI`: the cells as `key:value` pairs in a row; -1 stands for "not measured".
//!
//! ```text
//! <name> Cc:<MCC> Nc:<MNC> RSRP:<dBm> CINR:<dB> RSRQ:<dB> TAC:<decimal> Id:<PCI> EARFCN:<n> PWR:<dBm>
//!   PAGING:<n>[ CID:0x… BAND:n BW:<kHz>]
//! ```

use super::{family, moni};
use crate::case::{Facts, Quantity};
use crate::response::columns::{AREA_DECIMAL, CELL, Column, MCC, MNC, plain, whole};
use crate::response::fact_writer::{FactWriter, Taken};
use crate::response::scale::Scale;
use crate::response::{Family, Field, Read, Response};
use Column::Own;

pub(super) static FAMILY: Family = family(
    &["+SQNMONI"],
    "+SQNMONI=9",
    "serving cell and its levels, as labelled values",
    &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Rssi,
        Quantity::Sinr,
        Quantity::Earfcn,
        Quantity::Band,
        Quantity::Pci,
        Quantity::TacHex,
        Quantity::CellId,
        Quantity::Mcc,
        Quantity::Mnc,
    ],
    read,
);

const KEYS: &[(&str, Column)] = &[
    ("CC", MCC),
    ("NC", MNC),
    ("RSRP", Own(|w, f| measured(w, Quantity::Rsrp, f))),
    ("CINR", Own(|w, f| measured(w, Quantity::Sinr, f))),
    ("RSRQ", Own(|w, f| measured(w, Quantity::Rsrq, f))),
    ("PWR", Own(|w, f| measured(w, Quantity::Rssi, f))),
    ("TAC", AREA_DECIMAL),
    ("ID", plain(Quantity::Pci)),
    ("EARFCN", plain(Quantity::Earfcn)),
    ("CID", CELL),
    ("BAND", plain(Quantity::Band)),
];

fn measured(w: &mut FactWriter<'_>, quantity: Quantity, field: &Field<'_>) -> Taken {
    if field.text == "-1" {
        w.unknown(quantity, field.span);
        return Ok(());
    }
    // Levels have decimals; without them one was cut.
    if !field.text.contains('.') {
        return Err("a number with decimals");
    }
    w.level(quantity, field, Scale::Plain)
}

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(
        reply,
        facts,
        |w, reply| {
            if moni::pairs(w, reply, KEYS) { Ok(()) } else { Err(reply.no_form(0)) }
        },
    )
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "+SQNMONI: 00101 Cc:001 Nc:01 RSRP:-80.20 CINR:0.00 RSRQ:-12.90 TAC:61 Id:222 EARFCN:3700 PWR:-59.52 PAGING:64",
];

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity};
    use crate::response::sample::{numbers, of};

    #[test]
    fn minus_one_is_no_measurement_on_the_one_that_says_so() {
        let found = of(
            "+SQNMONI",
            "00101 Cc:001 Nc:01 RSRP:-80.20 CINR:0.00 RSRQ:-12.90 TAC:61 Id:222 EARFCN:3700 PWR:-59.52 PAGING:64",
        );
        assert_eq!(numbers(&found, Quantity::Rsrp), [-80.2]);
        assert_eq!(numbers(&found, Quantity::Pci), [222.0]);
        let none = of(
            "+SQNMONI",
            "Ember Cc:001 Nc:01 RSRP:-1 CINR:-1 RSRQ:-1 TAC:48364 Id:235 EARFCN:2050 PWR:-1 PAGING:128",
        );
        assert!(none.contains(&Fact::no_value(Quantity::Rsrp, Cell::Serving)));
        assert!(numbers(&none, Quantity::Rsrp).is_empty());
    }
}
