#![doc = include_str!("no_profile.md")]

use crate::case::Sim;
use crate::rules::{Action, Acts, PRACTICE, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "card/no-profile",
    asks: "Is a profile enabled on the embedded SIM?",
    settled_by: &[&reads::CARD, &reads::CARD_NUMBER],
    follow_up: &[&reads::SLOT, &reads::CARD_NUMBER],
    question: Some("Is there a card in another slot of the device, and is that the one meant?"),
    clause: PRACTICE,
    acts: Acts::AccountHolder,
    actions: &[Action::step(
        Acts::AccountHolder,
        "Have a profile loaded and enabled on the embedded SIM, then restart the modem.",
    )],
    explains: super::WITHOUT_CARD,
    page: include_str!("no_profile.md"),
    judge: |site| {
        super::state(
            site,
            |s| s == Sim::NoProfile,
            "The embedded SIM has no enabled profile.",
            "no enabled profile",
        )
    },
    ..Rule::BLANK
};
