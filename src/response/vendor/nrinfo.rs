//! `!NRINFO`: the NR cell as a page of labels, in the layout of `!GSTATUS`.

use super::{family, gstatus};
use crate::response::Family;

pub(super) static FAMILY: Family = family(
    &["!NRINFO"],
    "!NRINFO?",
    "the NR cell and the level of each antenna port",
    gstatus::YIELDS,
    gstatus::read,
);

#[cfg(test)]
pub(super) const SAMPLES: &[&str] = &[
    "!NRINFO:\nNR5G band:       n78       \t\tNR5G Carrier ID: 0\nNR5G Rx chan:    627340\nNR5G RSRP (dBm): -110\t\t\tNR5G RSRQ (dB):  -11\nNR5G SINR (dB):  12.0",
];

#[cfg(test)]
mod tests {
    use crate::case::{Fact, Quantity};
    use crate::response::sample::{numbers, of_block, says};

    #[test]
    fn a_standalone_page_tells_carrier_and_branches() {
        let found = of_block(
            "!NRINFO",
            "",
            &[
                "Connectivity Mode: SA",
                "NR5G band:       n78       \t\tNR5G Carrier ID: 0",
                "NR5G dl bw:      20 MHz    \t\tNR5G ul bw:      20 MHz",
                "NR5G Rx chan:    627340",
                "NR5G(sub6) Rx0 RSSI (dBm):   -81.6\tNR5G(sub6) Rx1 RSSI (dBm):   -93.4",
                "NR5G RSRP (dBm): -110\t\t\tNR5G RSRQ (dB):  -11",
                "NR5G SINR (dB):  12.0",
            ],
        );
        assert_eq!(numbers(&found, Quantity::Band), [78.0]);
        assert_eq!(numbers(&found, Quantity::NrArfcn), [627_340.0]);
        assert_eq!(numbers(&found, Quantity::BandwidthMhz), [20.0]);
        assert_eq!(numbers(&found, Quantity::Rsrp), [-110.0]);
        assert_eq!(numbers(&found, Quantity::Sinr), [12.0]);
        assert!(says(&found, &Fact::Port(1, Quantity::Rssi, Some(-93.4))));
    }
}
