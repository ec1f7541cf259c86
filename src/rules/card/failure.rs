#![doc = include_str!("failure.md")]

use crate::case::Sim;
use crate::rules::{Action, Acts, Check, POWER_OFF, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "card/failure",
    asks: "Can the SIM be read?",
    settled_by: &[&reads::CARD, &reads::VERBOSE],
    commonness: 3,
    check: Some(Check::Card),
    follow_up: super::FOLLOW_UP,
    clause: "TS 27.007 §9.2 (13, SIM failure; 15, SIM wrong)",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Clean and reseat the card, then try it in another device and another card in \
             this one: whichever fails twice is the broken part.",
        )
        .reading(&["AT+CPIN?"])
        .with_care(POWER_OFF),
        Action::step(Acts::AccountHolder, "If the card fails elsewhere too, order a replacement."),
    ],
    explains: super::WITHOUT_CARD,
    page: include_str!("failure.md"),
    judge: |site| {
        super::state(
            site,
            |s| matches!(s, Sim::Failure | Sim::Wrong),
            "The SIM is seen but cannot be read.",
            "the SIM failed",
        )
    },
    ..Rule::BLANK
};
