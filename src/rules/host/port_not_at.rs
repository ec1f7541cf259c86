#![doc = include_str!("port_not_at.md")]

use crate::case::Host;
use crate::rules::{Action, Acts, PRACTICE, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "host/port-not-at",
    asks: "Is what answers on the port AT at all?",
    settled_by: &[&reads::ALIVE],
    follow_up: &[&reads::ALIVE],
    question: Some("How many ports does the modem offer, and what answers on each of the others?"),
    clause: PRACTICE,
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "This port carries something else (positions, diagnostics). Try the other ports \
             of the same modem.",
    )
    .reading(&["AT"])],
    explains: super::consequences::WITHOUT_PORT,
    page: include_str!("port_not_at.md"),
    judge: |site| {
        super::port::reported(
            site,
            &[Host::NotAt],
            "The port carries something other than AT answers.",
        )
    },
    ..Rule::BLANK
};
