#![doc = include_str!("pin_required.md")]

use crate::case::Sim;
use crate::rules::{Action, Acts, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "card/pin-required",
    asks: "Does the SIM wait for its PIN?",
    settled_by: &[&reads::CARD],
    amendment: Some("pin"),
    commonness: 4,
    known_first: &[&super::pin_attempts_low::RULE],
    follow_up: &[&reads::CARD, &reads::PIN_ATTEMPTS],
    question: Some(
        "Is the PIN known for sure, and did this card work in another device without one?",
    ),
    clause: "TS 27.007 §8.3",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "See first how many tries are left; then enter the PIN once, or have the PIN \
             check switched off.",
        )
        .reading(&["AT+CPINR"]),
        Action::step(
            Acts::AccountHolder,
            "Find the PIN on the letter that came with the card, or ask the carrier.",
        ),
    ],
    explains: super::WITHOUT_CARD,
    page: include_str!("pin_required.md"),
    judge: |site| {
        super::state(
            site,
            |s| s == Sim::PinRequired,
            "The SIM waits for its PIN.",
            "waiting for the PIN",
        )
    },
    ..Rule::BLANK
};
