//! `+QCAINFO`: the carriers of an aggregation, one a line.
//!
//! ```text
//! "PCC"|"SCC",<channel>,<resource blocks>,"LTE BAND n",<state>,<PCI>,<RSRP>,<RSRQ>,<RSSI>,<RSSNR>[,…]
//! "PCC"|"SCC",<ARFCN>,<width>,"NR5G BAND n",<PCI>
//! "PCC"|"SCC",<ARFCN>,<width>,"NR5G BAND n",<state>,<PCI>,<UL>,<width>,<ARFCN>[,<RSRP>,<RSRQ>,<SNR>]
//! ```

use super::family;
use crate::case::{Cell, Facts, Quantity};
use crate::response::columns::{BAND_NAME, BLOCKS, Column, NR_WIDTH, plain, whole};
use crate::response::scale::Scale;
use crate::response::{Family, Read, Response};
use Column::{Figure, Optional, Text, Word};

pub(super) static FAMILY: Family = family(
    &["+QCAINFO"],
    "+QCAINFO",
    "carriers in use with their bands and levels",
    &[
        Quantity::Rsrp,
        Quantity::Rsrq,
        Quantity::Rssi,
        Quantity::Sinr,
        Quantity::Band,
        Quantity::Earfcn,
        Quantity::NrArfcn,
        Quantity::Pci,
        Quantity::BandwidthMhz,
    ],
    read,
);

const KEY: Column = Word(&["PCC", "SCC"]);
const STATE: Column = Word(&["0", "1", "2"]);
const EUTRA: &[Column] = &[
    KEY,
    plain(Quantity::Earfcn),
    BLOCKS,
    BAND_NAME,
    STATE,
    plain(Quantity::Pci),
    plain(Quantity::Rsrp),
    plain(Quantity::Rsrq),
    plain(Quantity::Rssi),
    plain(Quantity::Sinr),
    Optional,
    Figure,
    Figure,
    Figure,
];
const NR_SHORT: &[Column] =
    &[KEY, plain(Quantity::NrArfcn), NR_WIDTH, BAND_NAME, plain(Quantity::Pci)];
const NR: &[Column] = &[
    KEY,
    plain(Quantity::NrArfcn),
    NR_WIDTH,
    BAND_NAME,
    STATE,
    plain(Quantity::Pci),
    Figure,
    Figure,
    Figure,
];
const NR_LEVELS: &[Column] = &[
    KEY,
    plain(Quantity::NrArfcn),
    NR_WIDTH,
    BAND_NAME,
    STATE,
    plain(Quantity::Pci),
    Figure,
    Figure,
    Figure,
    plain(Quantity::Rsrp),
    plain(Quantity::Rsrq),
    Column::Number(Quantity::Sinr, Scale::Parts(100.0)),
];
/// A carrier that is not configured: its figures are old.
const OLD: &[Column] = &[KEY, Figure, Figure, Text, STATE, Figure, Column::Rest];

fn read(reply: &Response<'_>, facts: &mut Facts) -> Read {
    whole(reply, facts, |w, reply| {
        if reply.text(0).eq_ignore_ascii_case("SCC") {
            w.turn_to(Cell::Secondary);
        }
        let name = reply.text(3).to_ascii_uppercase();
        let (lte, nr) = (name.starts_with("LTE BAND "), name.starts_with("NR5G BAND "));
        let form = match reply.fields().len() {
            5 if nr => NR_SHORT,
            6.. if (lte || nr) && reply.text(4) == "0" => OLD,
            9 if nr => NR,
            12 if nr => NR_LEVELS,
            10.. if lte => EUTRA,
            _ => return Err(reply.no_form(3)),
        };
        w.row(reply, form)
    })
}

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    r#"+QCAINFO: "PCC",150,100,"LTE BAND 1",1,77,-92,-9,-63,14"#,
    r#"+QCAINFO: "scc",6200,50,"LTE BAND 20",2,21,-88,-10,-59,13"#,
    r#"+QCAINFO: "PCC",126490,1,"NR5G BAND 71",24"#,
    r#"+QCAINFO: "SCC",520110,12,"NR5G BAND 41",1,625,0,-,-"#,
];

#[cfg(test)]
mod tests {
    use crate::case::{Cell, Fact, Quantity};
    use crate::response::sample::{numbers, of, says};

    #[test]
    fn the_primary_carrier_is_the_serving_cell() {
        let found = of("+QCAINFO", "\"PCC\",150,100,\"LTE BAND 1\",1,77,-92,-9,-63,14");
        assert_eq!(numbers(&found, Quantity::Band), [1.0]);
        assert_eq!(numbers(&found, Quantity::BandwidthMhz), [20.0]);
        assert_eq!(numbers(&found, Quantity::Rssi), [-63.0]);
        assert_eq!(numbers(&found, Quantity::Sinr), [14.0]);
    }

    #[test]
    fn a_second_carrier_is_a_secondary_cell_unless_it_is_not_configured() {
        let found = of("+QCAINFO", "\"scc\",6200,50,\"LTE BAND 20\",2,21,-88,-10,-59,13");
        assert!(says(&found, &Fact::number(Quantity::Rsrp, -88.0, Cell::Secondary)));
        assert!(of("+QCAINFO", "\"scc\",6200,50,\"LTE BAND 20\",0,21,-88,-10,-59,13").is_empty());
    }

    #[test]
    fn nr_carriers_are_short_or_long() {
        let short = of("+QCAINFO", "\"PCC\",126490,1,\"NR5G BAND 71\",24");
        assert_eq!(numbers(&short, Quantity::Pci), [24.0]);
        assert_eq!(numbers(&short, Quantity::BandwidthMhz), [10.0]);
        let long = of("+QCAINFO", "\"SCC\",520110,12,\"NR5G BAND 41\",1,625,0,-,-");
        assert!(says(&long, &Fact::number(Quantity::Pci, 625.0, Cell::Secondary)));
    }
}
