#![doc = include_str!("network.md")]

use crate::rules::{Action, Acts, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/network",
    asks: "Does the network not admit this card at all?",
    settled_by: &[&reads::REASON, &reads::REASON_5G, &reads::LAST_FAILURE],
    clause: "TS 24.301 §9.9.3.9; TS 24.008 §10.5.5.14",
    acts: Acts::Carrier,
    actions: &[
        Action::step(
            Acts::AccountHolder,
            "Ask the carrier which networks the card may use here; choose another one, or automatic choice.",
        ),
        Action::step(Acts::Carrier, "Check the card's networks, and the agreement with this one."),
        Action::step(
            Acts::Installer,
            "Set automatic network choice, so that the modem may try another network.",
        )
        .changing(&["AT+COPS=0"]),
    ],
    explains: super::AFTER_REFUSAL,
    page: include_str!("network.md"),
    judge: |site| {
        super::refused(
            site,
            &[11, 14, 35],
            "This network is not allowed for this SIM.",
            "this network is not allowed for this SIM",
        )
    },
    ..Rule::BLANK
};
