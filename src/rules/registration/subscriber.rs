#![doc = include_str!("subscriber.md")]

use crate::rules::{Action, Acts, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/subscriber",
    asks: "Does the network refuse this subscriber?",
    settled_by: &[&reads::REASON, &reads::REASON_5G, &reads::LAST_FAILURE],
    commonness: 5,
    clause: "TS 24.301 §9.9.3.9; TS 24.008 §10.5.5.14",
    acts: Acts::AccountHolder,
    actions: &[
        Action::step(
            Acts::AccountHolder,
            "Ask the carrier whether this card is active, paid, of the right plan (packet data, LTE-M or NB-IoT where used), and linked to this device where plans ask for that.",
        ),
        Action::step(
            Acts::Carrier,
            "Look up the subscriber by the card's number and see why the network refuses it.",
        ),
    ],
    explains: super::AFTER_REFUSAL,
    page: include_str!("subscriber.md"),
    judge: |site| {
        super::refused(
            site,
            &[2, 3, 7, 8],
            "The network refuses this SIM: not active, or without this service.",
            "the network does not accept this subscriber",
        )
    },
    ..Rule::BLANK
};
