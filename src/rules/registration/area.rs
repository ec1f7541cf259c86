#![doc = include_str!("area.md")]

use crate::rules::{Action, Acts, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/area",
    asks: "Is this area closed to the card?",
    settled_by: &[&reads::REASON, &reads::REASON_5G, &reads::LAST_FAILURE],
    clause: "TS 24.301 §9.9.3.9; TS 24.008 §10.5.5.14",
    acts: Acts::Carrier,
    actions: &[
        Action::step(
            Acts::Carrier,
            "Ask whether the card is restricted to an area or a technology, and whether this cell's area is open to it.",
        ),
        Action::step(Acts::Installer, "Read cell and area, so that the carrier can look them up.")
            .reading(&["AT+CEREG=2", "AT+CEREG?"]),
    ],
    explains: super::AFTER_REFUSAL,
    page: include_str!("area.md"),
    judge: |site| {
        super::refused(
            site,
            &[12, 15],
            "The network does not serve this SIM in this area.",
            "not in this area",
        )
    },
    ..Rule::BLANK
};
