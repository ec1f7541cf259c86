#![doc = include_str!("security.md")]

use crate::reference::causes::CauseList::{self, Emm, FiveGmm, Gmm, Mm};
use crate::rules::{Action, Acts, Rule};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/security",
    kind_of: Some(&super::authentication::RULE),
    asks: "Do modem and network disagree on security settings?",
    acts: Acts::Carrier,
    actions: &[
        Action::step(
            Acts::Nobody,
            "A sequence number out of range (cause 21) resynchronises by itself; read again after a minute.",
        ),
        Action::step(
            Acts::Carrier,
            "If it repeats, report cell, time and cause: it concerns algorithms and settings of the network, not the keys of the card.",
        ),
        Action::step(
            Acts::Maker,
            "Ask for a firmware that offers the algorithms that the network demands.",
        ),
    ],
    page: include_str!("security.md"),
    judge: |site| {
        super::refusal::refused(
            site,
            owns,
            "Modem and network do not agree on security parameters.",
        )
    },
    ..super::refusal::BLANK
};

fn owns(list: CauseList, cause: u8) -> bool {
    match list {
        Emm => matches!(cause, 21 | 23 | 24),
        FiveGmm => matches!(cause, 21 | 23 | 24 | 71),
        Gmm | Mm => cause == 21,
        _ => false,
    }
}
