#![doc = include_str!("port_denied.md")]

use crate::case::Host;
use crate::rules::{Action, Acts, PRACTICE, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "host/port-denied",
    asks: "May this user open the port?",
    settled_by: &[&reads::ALIVE],
    commonness: 2,
    question: Some("Does it work when the same program runs with all rights?"),
    clause: PRACTICE,
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "Give the user access to the port (on Linux: join the group that owns it, often dialout), log in again, and retry.",
    )],
    explains: super::consequences::WITHOUT_PORT,
    page: include_str!("port_denied.md"),
    judge: |site| {
        super::port::reported(
            site,
            &[Host::PortDenied],
            "This user has no permission to open the modem's port.",
        )
    },
    ..Rule::BLANK
};
