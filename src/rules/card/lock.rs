#![doc = include_str!("lock.md")]

use crate::case::Sim;
use crate::rules::{Action, Acts, POWER_OFF, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "card/lock",
    asks: "Is the device bound to another card or carrier?",
    settled_by: &[&reads::CARD],
    follow_up: &[&reads::CARD, &reads::IDENTITY, &reads::EQUIPMENT],
    question: Some("Was the device bought from a carrier, and is the card of another one?"),
    clause: "TS 22.022; TS 27.007 §8.3",
    acts: Acts::Maker,
    actions: &[
        Action::step(
            Acts::Maker,
            "The device accepts only certain cards: ask whoever sold it for the unlock code, which is not the PIN of the card.",
        )
        .reading(&["AT+CPIN?"]),
        Action::step(Acts::Installer, "Or use a card that the device accepts.")
            .with_care(POWER_OFF),
    ],
    explains: super::WITHOUT_CARD,
    page: include_str!("lock.md"),
    judge: |site| {
        super::state(
            site,
            |s| matches!(s, Sim::Locked(_) | Sim::DeviceCode),
            "The device is locked to another card or carrier.",
            "a lock of the device, not the card's own PIN",
        )
    },
    ..Rule::BLANK
};
