//! Reading one text of 3 KB: to exchanges alone, and on to a case; standard replies beside makers'.

use mastside::capture::Capture;
use mastside::case::Case;

fn main() {
    divan::main();
}

/// Standard replies, as a terminal shows them.
const STANDARD: &str = "AT+CPIN?\r\n+CPIN: READY\r\n\r\nOK\r\nAT+CESQ\r\n+CESQ: 99,99,255,255,21,48\r\n\r\nOK\r\n\
    AT+CEREG?\r\n+CEREG: 2,2,\"0A11\",\"0003A2B1\",7\r\n\r\nOK\r\n\
    AT+CGDCONT?\r\n+CGDCONT: 1,\"IPV4V6\",\"gauge.example\",\"0.0.0.0\",0,0\r\n\r\nOK\r\n";

/// Makers' replies of several families.
const MAKERS: &str = "AT+QENG=\"servingcell\"\r\n\
    +QENG: \"servingcell\",\"NOCONN\",\"LTE\",\"FDD\",001,01,A1B2C01,188,6300,20,3,3,900,-104,-9,-78,11,23\r\n\r\nOK\r\n\
    AT+CPSI?\r\n+CPSI: LTE,Online,001-01,0xE9D3,59696000,448,EUTRAN-BAND1,100,4,4,-122,-1184,-874,9\r\n\r\nOK\r\n\
    AT^HCSQ?\r\n^HCSQ:\"LTE\",48,35,86,14\r\n\r\nOK\r\n\
    AT+QCFG=\"band\"\r\n+QCFG: \"band\",0x93,0x1a0080800c5\r\n\r\nOK\r\n";

fn three_kilobytes(part: &str) -> String {
    part.repeat(3000 / part.len() + 1)
}

#[divan::bench(args = ["standard", "makers"])]
fn exchanges(bencher: divan::Bencher<'_, '_>, kind: &str) {
    let text = three_kilobytes(if kind == "standard" { STANDARD } else { MAKERS });
    bencher
        .counter(divan::counter::BytesCount::of_str(&text))
        .bench(|| Capture::new(divan::black_box(&text)));
}

#[divan::bench(args = ["standard", "makers"])]
fn case(bencher: divan::Bencher<'_, '_>, kind: &str) {
    let text = three_kilobytes(if kind == "standard" { STANDARD } else { MAKERS });
    bencher
        .counter(divan::counter::BytesCount::of_str(&text))
        .bench(|| Case::read(&Capture::new(divan::black_box(&text))));
}
