#![doc = include_str!("network_trouble.md")]

use crate::rules::{Action, Acts, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/network-trouble",
    asks: "Has the network trouble of its own?",
    settled_by: &[&reads::REASON, &reads::REASON_5G, &reads::LAST_FAILURE],
    clause: "TS 24.301 §9.9.3.9; TS 24.008 §10.5.5.14",
    acts: Acts::Carrier,
    actions: &[
        Action::step(Acts::Nobody, "Wait: the modem tries again by itself after some minutes."),
        Action::step(Acts::Carrier, "If it lasts for hours, report cell, area and time.")
            .reading(&["AT+CEREG=2", "AT+CEREG?"]),
    ],
    explains: super::AFTER_REFUSAL,
    page: include_str!("network_trouble.md"),
    judge: |site| {
        super::refused(
            site,
            &[17, 22, 42],
            "The network has trouble of its own, or is congested.",
            "a failure or congestion of the network",
        )
    },
    ..Rule::BLANK
};
