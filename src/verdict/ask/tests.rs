//! The decisive question first, for a cause that was found and for one that is not.

use crate::capture::Capture;
use crate::case::Case;
use crate::verdict::{Verdict, explain};

fn verdict(text: &str) -> Verdict {
    explain(&Case::read(&Capture::new(text)))
}

/// The commands of the first block.
fn first(text: &str) -> Vec<&'static str> {
    let asks = verdict(text).ask_next;
    let block = asks.iter().filter(|a| !a.if_not_enough);
    block.flat_map(|a| a.commands.iter().copied()).collect()
}

#[test]
fn a_cause_that_was_found_is_followed_by_what_decides_the_next_step() {
    const OWN: &str = "AT+QCSQ\n+QCSQ: \"LTE\",-60,-90,120,-9\nOK\n";
    for (text, wanted) in [
        ("+CEREG: 3,\"0B0B\",\"0021F203\",7,0,8\n".into(), ["AT+CIMI", "AT+COPS?", "AT+CCID"]),
        (
            "+CEREG: 3,\"0B0B\",\"0021F203\",7,0,11\n".into(),
            ["AT+CIMI", "AT+CRSM=176,28539,0,0,12", "AT+COPS?"],
        ),
        ("+CEREG: 3,\"0B0B\",\"0021F203\",7,0,15\n".into(), ["AT+CIMI", "AT+COPS?", "AT+COPS=?"]),
        ("+CEREG: 3,\"0B0B\",\"0021F203\",7,0,6\n".into(), ["AT+CGSN", "AT+CGMM", "AT+CIMI"]),
        (
            format!("{OWN}AT+CEREG?\n+CEREG: 0,1\nOK\nping 192.0.2.7: 100% packet loss\n"),
            ["AT+QIDNSCFG=1", "AT+CGCONTRDP", "AT+CGDCONT?"],
        ),
    ] {
        assert_eq!(first(&text), wanted, "{text}");
    }
}

#[test]
fn a_search_is_asked_first_only_where_no_link_can_drop() {
    let deaf = "AT+CSQ\n+CSQ: 99,99\nOK\nAT+CESQ\n+CESQ: 99,99,255,255,255,255\nOK\nAT+CEREG?\n+CEREG: 0,2\nOK\n";
    assert_eq!(first(deaf)[0], "AT+COPS=?");
    let linked = "AT+CEREG?\n+CEREG: 0,1\nOK\nAT+CGACT?\n+CGACT: 1,1\nOK\n";
    assert!(!first(linked).contains(&"AT+COPS=?"));
}

#[test]
fn bands_are_read_first_where_somebody_names_those_of_the_place() {
    let text = "AT+QCSQ\n+QCSQ: \"NOSERVICE\"\nOK\nAT+CPIN?\n+CPIN: READY\nOK\nAT+CEREG?\n+CEREG: 0,2\nOK\nThe carrier uses band 20 here.\n";
    assert_eq!(first(text)[0], "AT+QCFG=\"band\"", "{:?}", first(text));
}

#[test]
fn nothing_is_sent_to_a_port_that_is_not_there() {
    let text = "ls: cannot access '/dev/ttyUSB2': No such file or directory\n";
    let verdict = verdict(text);
    assert_eq!(verdict.id(), "host/no-modem");
    assert!(verdict.ask_next.iter().all(|a| a.commands.is_empty()), "{:?}", verdict.ask_next);
}
