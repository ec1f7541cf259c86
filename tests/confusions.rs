//! Causes that look alike in real texts: for each pair, one text of either that tells them apart.
//!
//! The texts are invented; that the pairs are confused is common practice, no source.

use mastside::carrier::ProfileStore;
use mastside::explanation::{Basis, Explanation, View};

fn finding(text: &str) -> &'static str {
    let profiles = ProfileStore::shipped();
    Explanation::of(text, Vec::new(), &Basis::of(&profiles), View::default())
        .unwrap()
        .verdict()
        .id()
}

const PAIRS: &[[(&str, &str); 2]] = &[
    [
        ("registration/security", "AT+CEREG?\n+CEREG: 3,3,,,,0,23\nOK\n"),
        ("registration/authentication", "AT+CEREG?\n+CEREG: 3,3,,,,0,20\nOK\n"),
    ],
    [
        ("registration/forgotten", "AT+CEREG?\n+CEREG: 3,2,,,,0,10\nOK\n"),
        ("registration/network-trouble", "AT+CEREG?\n+CEREG: 3,2,,,,0,22\nOK\n"),
    ],
    [
        ("registration/protocol-error", "AT+CEREG?\n+CEREG: 3,3,,,,0,96\nOK\n"),
        ("registration/subscriber", "AT+CEREG?\n+CEREG: 3,3,,,,0,7\nOK\n"),
    ],
    // A lock of the device keeps the network away although the card itself can be read.
    [
        (
            "card/lock",
            "AT+CIMI\n001010000000017\nOK\nAT+CPIN?\n+CPIN: PH-NET PIN\nOK\nAT+CIMI\n001010000000017\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n",
        ),
        (
            "registration/idle",
            "AT+CPIN?\n+CPIN: READY\nOK\nAT+CIMI\n001010000000017\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n",
        ),
    ],
    // An error of a lock command says nothing against the card.
    [
        ("card/failure", "AT+CPIN?\n+CME ERROR: 13\n"),
        (
            "registration/searching",
            "AT+CLCK=\"SC\",2\n+CME ERROR: 13\nAT+CEREG?\n+CEREG: 0,2\nOK\n",
        ),
    ],
    // A host that gives up switches the radio off; what it gave up over is the cause.
    [
        (
            "registration/searching",
            "AT+CPIN?\n+CPIN: READY\nOK\nAT+CSQ\n+CSQ: 18,99\nOK\nAT+CEREG?\n+CEREG: 0,2\nOK\nAT+CFUN=4\nOK\n",
        ),
        ("device/radio-off", "AT+CFUN?\n+CFUN: 4\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n"),
    ],
    [
        ("card/not-detected", "AT+CPIN?\n+CME ERROR: 10\n"),
        ("card/failure", "AT+CPIN?\n+CME ERROR: 13\n"),
    ],
    [
        ("card/not-detected", "AT+CPIN?\n+CME ERROR: SIM not inserted\n"),
        ("device/not-ready", "AT+CPIN?\n+CME ERROR: SIM busy\n"),
    ],
    [
        ("card/pin-required", "AT+CPIN?\n+CPIN: SIM PIN\nOK\n"),
        ("card/puk-required", "AT+CPIN?\n+CPIN: SIM PUK\nOK\n"),
    ],
    [
        ("card/pin-required", "AT+CPIN?\n+CPIN: SIM PIN\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n"),
        ("card/lock", "AT+CPIN?\n+CPIN: PH-NET PIN\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n"),
    ],
    [
        (
            "device/radio-off",
            "AT+CFUN?\n+CFUN: 4\nOK\nAT+CSQ\n+CSQ: 99,99\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n",
        ),
        (
            "radio/no-signal",
            "AT+CPIN?\n+CPIN: READY\nOK\nAT+CFUN?\n+CFUN: 1\nOK\nAT+CSQ\n+CSQ: 99,99\nOK\nAT+CEREG?\n+CEREG: 0,2\nOK\nAT+COPS=?\n+COPS: ,,(0,1,2,3,4),(0,1,2)\nOK\n",
        ),
    ],
    [
        (
            "registration/searching",
            "AT+CPIN?\n+CPIN: READY\nOK\nAT+CSQ\n+CSQ: 18,99\nOK\nAT+CEREG?\n+CEREG: 0,2\nOK\n",
        ),
        (
            "registration/denied",
            "AT+CPIN?\n+CPIN: READY\nOK\nAT+CSQ\n+CSQ: 18,99\nOK\nAT+CEREG?\n+CEREG: 0,3\nOK\n",
        ),
    ],
    [
        ("registration/searching", "AT+CEREG?\n+CEREG: 0,2\nOK\nAT+COPS?\n+COPS: 0\nOK\n"),
        ("registration/manual", "AT+CEREG?\n+CEREG: 0,2\nOK\nAT+COPS?\n+COPS: 1\nOK\n"),
    ],
    [
        (
            "registration/idle",
            "AT+CFUN?\n+CFUN: 1\nOK\nAT+CPIN?\n+CPIN: READY\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\nAT+COPS?\n+COPS: 2\nOK\n",
        ),
        ("device/radio-off", "AT+CFUN?\n+CFUN: 0\nOK\nAT+CEREG?\n+CEREG: 0,0\nOK\n"),
    ],
    [
        ("registration/subscriber", "AT+CEREG?\n+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,8\nOK\n"),
        ("registration/equipment", "AT+CEREG?\n+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,6\nOK\n"),
    ],
    [
        ("registration/network", "AT+CEREG?\n+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,11\nOK\n"),
        ("registration/area", "AT+CEREG?\n+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,12\nOK\n"),
    ],
    [
        (
            "registration/no-suitable-cell",
            "AT+CEREG?\n+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,15\nOK\n",
        ),
        ("registration/roaming", "AT+CEREG?\n+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,13\nOK\n"),
    ],
    [
        (
            "registration/authentication",
            "AT+CEREG?\n+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,20\nOK\n",
        ),
        (
            "registration/network-trouble",
            "AT+CEREG?\n+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,22\nOK\n",
        ),
    ],
    [
        ("registration/attach-bearer", "AT+CEREG?\n+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,19\nOK\n"),
        (
            "bearer/apn-unknown",
            "AT+CEREG?\n+CEREG: 3,3,\"0A11\",\"0003A2B1\",7,0,19\nOK\nAT+CEER\n+CEER: ESM cause 27\nOK\n",
        ),
    ],
    [
        ("bearer/pdn-type", "AT+CEREG?\n+CEREG: 0,3\nOK\nAT+CEER\n+CEER: ESM cause 50\nOK\n"),
        ("bearer/credentials", "AT+CEREG?\n+CEREG: 0,3\nOK\nAT+CEER\n+CEER: ESM cause 29\nOK\n"),
    ],
    [
        ("bearer/not-subscribed", "AT+CEREG?\n+CEREG: 0,3\nOK\nAT+CEER\n+CEER: ESM cause 33\nOK\n"),
        (
            "bearer/network-refused",
            "AT+CEREG?\n+CEREG: 0,3\nOK\nAT+CEER\n+CEER: ESM cause 31\nOK\n",
        ),
    ],
    [
        (
            "bearer/inactive",
            "AT+CEREG?\n+CEREG: 0,1\nOK\nAT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"gauge.example\",\"\",0,0\nOK\nAT+CGACT?\n+CGACT: 1,0\nOK\nAT+CGATT?\n+CGATT: 1\nOK\n",
        ),
        (
            "path/no-address",
            "AT+CEREG?\n+CEREG: 0,1\nOK\nAT+CGACT?\n+CGACT: 1,1\nOK\nAT+CGPADDR=1\n+CGPADDR: 1,\"0.0.0.0\"\nOK\n",
        ),
    ],
    [
        (
            "connected",
            "AT+CREG?\n+CREG: 0,3\nOK\nAT+CEREG?\n+CEREG: 0,1\nOK\nAT+CGPADDR=1\n+CGPADDR: 1,\"192.0.2.7\"\nOK\n",
        ),
        ("registration/denied", "AT+CREG?\n+CREG: 0,1\nOK\nAT+CEREG?\n+CEREG: 0,3\nOK\n"),
    ],
    [
        ("connected", "AT+CEREG?\n+CEREG: 0,5\nOK\nAT+CGPADDR=1\n+CGPADDR: 1,\"192.0.2.7\"\nOK\n"),
        (
            "path/no-traffic",
            "AT+CEREG?\n+CEREG: 0,5\nOK\nAT+CGPADDR=1\n+CGPADDR: 1,\"192.0.2.7\"\nOK\n$ ping 192.0.2.1\n3 packets transmitted, 0 received, 100% packet loss\n",
        ),
    ],
    [
        (
            "device/restarts",
            "RDY\n+CPIN: READY\nAT+CEREG?\n+CEREG: 0,2\nOK\nRDY\n+CPIN: READY\nAT+CEREG?\n+CEREG: 0,2\nOK\nRDY\n+CPIN: READY\n",
        ),
        (
            "registration/searching",
            "RDY\n+CPIN: READY\nAT+CFUN=1,1\nOK\nRDY\n+CPIN: READY\nAT+CEREG?\n+CEREG: 0,2\nOK\n",
        ),
    ],
    [
        ("host/port-silent", "AT\nAT\nAT\nAT\n"),
        (
            "host/port-busy",
            "$ open /dev/ttyUSB2\ncannot open /dev/ttyUSB2: Device or resource busy\n",
        ),
    ],
    [
        (
            "radio/antenna",
            "AT+CEREG?\n+CEREG: 0,2\nOK\nAT+QRSRP\n+QRSRP: -121,-88,-140,-140,LTE\nOK\n",
        ),
        (
            "radio/weak",
            "AT+CEREG?\n+CEREG: 0,2\nOK\nAT+QRSRP\n+QRSRP: -129,-128,-140,-140,LTE\nOK\n",
        ),
    ],
];

#[test]
fn causes_that_look_alike_are_told_apart() {
    let wrong: Vec<String> = PAIRS
        .iter()
        .flatten()
        .filter(|(wanted, text)| finding(text) != *wanted)
        .map(|(wanted, text)| format!("{}, not {wanted}:\n{text}", finding(text)))
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
