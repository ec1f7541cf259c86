//! What a page of labels says, in lines and run together.

use crate::case::{Cell, Fact, Quantity, Service};
use crate::response::sample::{numbers, of, of_block, says};

const LINES: &[&str] = &[
    "Current Time:  22016\t\tTemperature: 40",
    "Reset Counter: 1\t\tMode:        ONLINE",
    "System mode:   LTE        \tPS state:    Attached",
    "LTE band:      B2     \t\tLTE bw:      20 MHz",
    "LTE Rx chan:   800\t\tLTE Tx chan: 18800",
    "LTE CA state:  ACTIVE      \t\tLTE Scell band:B12",
    "LTE Scell bw:10 MHz  \t\tLTE Scell chan:5110",
    "EMM state:     Registered     \tNormal Service",
    "PCC RxM RSSI:  -45\t\tRSRP (dBm):  -81",
    "PCC RxD RSSI:  -44\t\tRSRP (dBm):  -79",
    "SCC RxM RSSI:  -52\t\tRSRP (dBm):  -83",
    "Tx Power:      --\t\tTAC:         DD56 (56662)",
    "RSRQ (dB):     -14.0\t\tCell ID:     0AA25000 (178409472)",
    "SINR (dB):     23.8",
];

fn check(found: &[Fact]) {
    assert_eq!(numbers(found, Quantity::Temperature), [40.0]);
    assert_eq!(numbers(found, Quantity::Band), [2.0]);
    assert_eq!(numbers(found, Quantity::BandwidthMhz), [20.0]);
    assert_eq!(numbers(found, Quantity::Earfcn), [800.0]);
    assert_eq!(numbers(found, Quantity::Rsrp), [-79.0]);
    assert_eq!(numbers(found, Quantity::Rsrq), [-14.0]);
    assert_eq!(numbers(found, Quantity::Sinr), [23.8]);
    assert_eq!(numbers(found, Quantity::CellId), [178_409_472.0]);
    assert!(says(found, &Fact::Port(0, Quantity::Rsrp, Some(-81.0))));
    assert!(says(found, &Fact::Port(1, Quantity::Rsrp, Some(-79.0))));
    assert!(says(found, &Fact::number(Quantity::Band, 12.0, Cell::Secondary)));
    assert!(says(found, &Fact::word(Quantity::TacHex, "DD56".into(), Cell::Serving)));
    assert!(says(found, &Fact::Service(Service::Normal)));
    assert!(says(found, &Fact::Attached(true)));
    assert!(says(found, &Fact::no_value(Quantity::TxPower, Cell::Serving)));
}

#[test]
fn a_page_of_labels_is_read_line_by_line() {
    check(&of_block("!GSTATUS", "", LINES));
}

#[test]
fn a_page_run_into_one_line_says_the_same() {
    check(&of("!GSTATUS", &LINES.join(" ")));
}

#[test]
fn low_power_mode_means_that_the_radio_is_off() {
    let found = of_block("!GSTATUS", "", &["Mode:        LOW POWER MODE", "System mode:   LTE"]);
    assert!(says(&found, &Fact::Service(Service::RadioOff)));
}

#[test]
fn an_overflowed_channel_claims_nothing() {
    let found =
        of_block("!GSTATUS", "", &["LTE band:      B66\tLTE bw: 20 MHz", "LTE Rx chan:   0"]);
    assert_eq!(numbers(&found, Quantity::Earfcn), [] as [f64; 0]);
}

#[test]
fn newer_pages_name_the_branch_of_each_power() {
    let found = of_block(
        "!GSTATUS",
        "",
        &["PCC RxM RSSI:  -87\tPCC RxM RSRP:  -119", "PCC RxD RSSI:  -55\tPCC RxD RSRP:  -86"],
    );
    assert!(says(&found, &Fact::Port(0, Quantity::Rsrp, Some(-119.0))));
    assert!(says(&found, &Fact::Port(1, Quantity::Rsrp, Some(-86.0))));
}
