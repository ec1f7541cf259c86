//! Lines of invented logs, and what they say.

use super::super::words::words;
use super::*;
use crate::case::{Host, Power, Service};

fn says(lines: &[&str]) -> Vec<Fact> {
    let (mut events, mut facts) = (Events::default(), Facts::default());
    for text in lines {
        let lower = text.to_ascii_lowercase();
        let words = words(&lower);
        events.read(Line { text, lower: &lower, words: &words, base: 0, taken: &[] }, &mut facts);
    }
    facts.drain().map(|(fact, _)| fact).collect()
}

fn state(domain: Domain, stat: u8) -> Fact {
    Fact::Registration(Registration { domain, stat, act: None, unsolicited: true })
}

#[test]
fn procedures_that_the_network_accepts() {
    for (line, fact) in [
        ("07:15:02 attach accepted (999-70, tac 0A0C)", state(Domain::Eps, 1)),
        ("nas: ATTACH ACCEPT", state(Domain::Eps, 1)),
        ("gmm: attach accept", state(Domain::Packet, 1)),
        ("[nas] REGISTRATION ACCEPT received", state(Domain::FiveG, 1)),
        ("tracking area update accepted", state(Domain::Eps, 1)),
        ("netd: wwan1 registered home 999-70", Fact::ReportedState(1)),
        ("netd: registered, then idle", Fact::ReportedState(1)),
        ("modem state REGISTERED", Fact::ReportedState(1)),
        ("cell: registered roaming 001-02", Fact::ReportedState(5)),
        ("cell: deregistered", Fact::ReportedState(0)),
        ("cell: searching, 12 min", Fact::ReportedState(2)),
        ("card ready", Fact::Sim(crate::case::Sim::Ready)),
    ] {
        assert_eq!(says(&[line]), [fact], "{line}");
    }
}

#[test]
fn sessions_come_and_go() {
    let (up, down) = (Fact::Session(SessionState::Active), Fact::Session(SessionState::Inactive));
    for line in [
        "session 2 up 10.8.7.6",
        "pdn 1 active",
        "wan: bearer up 100.71.9.3",
        "default bearer 5 established",
        "uplink restored, outage 00:12:00",
        "ipcp: Opened, local 10.141.3.8 remote 10.64.64.64",
    ] {
        assert_eq!(says(&[line]), std::slice::from_ref(&up), "{line}");
    }
    assert_eq!(says(&["bearer lost"]), std::slice::from_ref(&down));
    assert_eq!(says(&["session 1 up", "wwan0 down, carrier lost"]), [up, down]);
}

#[test]
fn what_the_network_ends_is_no_longer_granted() {
    let found = says(&["emm: attach accept", "emm: detach requested by network"]);
    assert_eq!(found, [state(Domain::Eps, 1), Fact::Released(true), state(Domain::Eps, 0)]);
    let found = says(&["emm: attach accept", "emm: attach reject, congestion"]);
    assert_eq!(found.last(), Some(&state(Domain::Eps, 3)));
}

#[test]
fn other_things_of_the_same_words_say_nothing() {
    for line in [
        "usbcore: registered new interface driver usbfs",
        "registered handler for wan events",
        "eth0: link up",
        "tunnel session up",
        "uplink down (reason: unspecified)",
        "not registered",
        "last registered 2026-01-02",
        "access to the log denied",
        "attach #1 of the day",
    ] {
        assert!(says(&[line]).is_empty(), "{line}: {:?}", says(&[line]));
    }
    assert!(!says(&["no service"]).contains(&Fact::Service(Service::Normal)));
}

#[test]
fn the_reason_of_a_start() {
    assert_eq!(says(&["modem boot reason: brownout"]), [Fact::Power(Power::LowVoltage)]);
    assert_eq!(says(&["module reset cause = watchdog"]), [Fact::Fault]);
    assert_eq!(says(&["modem boot reason: power on"]), []);
    assert_eq!(says(&["board start, reset cause: watchdog"]), [], "of the board");
    assert_eq!(says(&["init: no modem"]), [Fact::Host(Host::NoModem)]);
}
