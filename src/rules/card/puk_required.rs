#![doc = include_str!("puk_required.md")]

use crate::case::Sim;
use crate::rules::{Action, Acts, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "card/puk-required",
    asks: "Is the SIM blocked by wrong PINs?",
    settled_by: &[&reads::CARD],
    known_first: &[&super::pin_attempts_low::RULE],
    follow_up: &[&reads::CARD, &reads::PIN_ATTEMPTS],
    question: Some("Is the letter with the PUK of this card at hand?"),
    clause: "TS 27.007 §8.3",
    acts: Acts::AccountHolder,
    actions: &[Action::step(
        Acts::AccountHolder,
        "Ask the carrier for the PUK. Do not guess: ten wrong tries destroy the card for good.",
    )
    .reading(&["AT+CPIN?"])],
    explains: super::WITHOUT_CARD,
    page: include_str!("puk_required.md"),
    judge: |site| {
        super::state(
            site,
            |s| s == Sim::PukRequired,
            "The SIM is blocked and wants its PUK.",
            "waiting for the PUK",
        )
    },
    ..Rule::BLANK
};
