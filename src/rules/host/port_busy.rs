#![doc = include_str!("port_busy.md")]

use crate::case::Host;
use crate::rules::{Action, Acts, PRACTICE, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "host/port-busy",
    asks: "Does another program hold the port?",
    settled_by: &[&reads::ALIVE],
    question: Some("Which other program on this computer uses the modem?"),
    clause: PRACTICE,
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "Close the other program that uses the port (a dialler, a network manager, a second terminal), then try again.",
    )],
    explains: super::consequences::WITHOUT_PORT,
    page: include_str!("port_busy.md"),
    judge: |site| {
        super::port::reported(site, &[Host::PortBusy], "Another program uses the modem's port.")
    },
    ..Rule::BLANK
};
