#![doc = include_str!("authentication.md")]

use crate::rules::{Action, Acts, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/authentication",
    asks: "Do card and network disagree on the keys?",
    settled_by: &[&reads::REASON, &reads::REASON_5G, &reads::LAST_FAILURE],
    clause: "TS 24.301 §9.9.3.9; TS 24.008 §10.5.5.14",
    acts: Acts::Carrier,
    actions: &[
        Action::step(
            Acts::Carrier,
            "Check the keys of this card in the subscriber data; have the card replaced if they are right.",
        ),
        Action::step(Acts::AccountHolder, "Order a replacement card."),
    ],
    explains: super::AFTER_REFUSAL,
    page: include_str!("authentication.md"),
    judge: |site| {
        super::refused(
            site,
            &[20, 21, 23, 24, 26],
            "Card and network fail to authenticate each other.",
            "the keys do not match",
        )
    },
    ..Rule::BLANK
};
