#![doc = include_str!("failure.md")]

use crate::case::Sim;
use crate::rules::{Action, Acts, Check, POWER_OFF, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "card/failure",
    asks: "Can the SIM be read?",
    settled_by: &[&reads::CARD, &reads::VERBOSE],
    commonness: 3,
    check: Some(Check::Card),
    follow_up: &[&reads::CARD_AGAIN, &reads::VERBOSE, &reads::RADIO, &reads::CARD_NUMBER],
    question: Some("Does the same card work in another device, and another card in this one?"),
    clause: "TS 27.007 §9.2 (13, SIM failure; 15, SIM wrong)",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Restart the modem, wait half a minute, and read the card again: a card that lost contact for a moment \
             comes back only with a restart.",
        )
        .changing(&["AT+CFUN=1,1"]),
        Action::step(
            Acts::Installer,
            "If it fails again, clean and reseat the card; then try it in another device and another card in \
             this one: whichever fails twice is the broken part.",
        )
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
