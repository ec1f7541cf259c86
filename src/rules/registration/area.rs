#![doc = include_str!("area.md")]

use crate::reference::causes::CauseList::{self, Emm, FiveGmm, Gmm, Mm};
use crate::rules::{Action, Acts, Rule};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/area",
    asks: "Is this area closed to the card?",
    follow_up: super::refusal::WHERE,
    question: Some("Does the same card register at another place?"),
    acts: Acts::Carrier,
    actions: &[
        Action::step(
            Acts::Carrier,
            "Ask whether the card is restricted to an area or to a closed group of cells, and whether this cell is open to it.",
        ),
        Action::step(Acts::Installer, "Read cell and area, so that the carrier can look them up.")
            .reading(&["AT+CEREG=2", "AT+CEREG?"]),
    ],
    page: include_str!("area.md"),
    judge: |site| {
        super::refusal::refused(site, owns, "The network does not serve this SIM in this area.")
    },
    ..super::refusal::BLANK
};

fn owns(list: CauseList, cause: u8) -> bool {
    match list {
        Emm | Gmm | Mm => matches!(cause, 12 | 25 | 78),
        FiveGmm => matches!(cause, 12 | 28 | 43 | 76..=78),
        _ => false,
    }
}
