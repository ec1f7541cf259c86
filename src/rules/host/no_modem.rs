#![doc = include_str!("no_modem.md")]

use crate::case::Host;
use crate::rules::{Action, Acts, Check, POWER_OFF, PRACTICE, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "host/no-modem",
    asks: "Is there a port that could be a modem?",
    settled_by: &[&reads::ALIVE],
    check: Some(Check::Port),
    clause: PRACTICE,
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Check that the modem is seated firmly in its socket and has power, wait two \
             minutes after power-on, and look for its port again.",
        )
        .with_care(POWER_OFF),
        Action::step(
            Acts::Installer,
            "Try another cable or socket, and see whether the computer notices the device \
             at all when it is plugged.",
        ),
        Action::step(
            Acts::Maker,
            "If it never appears on two computers, the module or its board is a candidate for repair.",
        ),
    ],
    explains: super::WITHOUT_PORT,
    page: include_str!("no_modem.md"),
    judge: |site| {
        super::told(site, &[Host::NoModem], "The computer sees no modem: the port does not exist.")
    },
    ..Rule::BLANK
};
