#![doc = include_str!("network_refused.md")]

use crate::rules::{Action, Acts, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "bearer/network-refused",
    asks: "Did the network refuse the session for another reason?",
    settled_by: &[&reads::LAST_FAILURE, &reads::REASON],
    follow_up: super::session::FOLLOW_UP,
    clause: "TS 24.301 §9.9.4.4; TS 24.008 §10.5.6.6",
    acts: Acts::Carrier,
    actions: &[
        Action::step(Acts::Carrier, "Give the carrier the reason's number, cell and time.")
            .reading(&["AT+CEER"]),
        Action::step(Acts::Nobody, "Congestion passes by itself; wait some minutes."),
    ],
    explains: super::consequences::AFTER_REFUSAL,
    page: include_str!("network_refused.md"),
    judge: |site| {
        super::session::refused(
            site,
            |c| !matches!(c, 8 | 27 | 28 | 29 | 33 | 36 | 50 | 51 | 57 | 58),
            "The network refuses the data session.",
            "the session was refused",
        )
    },
    ..Rule::BLANK
};
