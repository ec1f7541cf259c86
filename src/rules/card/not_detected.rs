#![doc = include_str!("not_detected.md")]

use crate::case::Sim;
use crate::rules::{Action, Acts, Check, POWER_OFF, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "card/not-detected",
    asks: "Does the modem see a SIM?",
    settled_by: &[&reads::CARD, &reads::VERBOSE],
    commonness: 8,
    check: Some(Check::Card),
    follow_up: super::FOLLOW_UP,
    question: Some(
        "Is it the same with another card in this holder, and does this card work in another device?",
    ),
    clause: "TS 27.007 §9.2 (10, SIM not inserted)",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Take the card out and look: right way round, right size for the holder, \
             adapter flat and not too thick, contacts clean, holder latched or switched, \
             the slot that the modem uses. Seat it again.",
        )
        .reading(&["AT+CPIN?"])
        .with_care(POWER_OFF),
        Action::step(
            Acts::Installer,
            "Try the card in another device, and another card in this one: whichever fails \
             twice is the broken part.",
        )
        .with_care(POWER_OFF),
    ],
    explains: super::WITHOUT_CARD,
    page: include_str!("not_detected.md"),
    judge: |site| {
        super::state(
            site,
            |s| s == Sim::NotInserted,
            "The modem sees no SIM.",
            "no SIM in the slot",
        )
    },
    ..Rule::BLANK
};
