#![doc = include_str!("authentication.md")]

use crate::reference::causes::CauseList::{self, Emm, FiveGmm, Gmm, Mm};
use crate::rules::{Action, Acts, Rule};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/authentication",
    asks: "Do card and network disagree on the keys?",
    question: Some("Does the same card register in another device?"),
    acts: Acts::Carrier,
    actions: &[
        Action::step(Acts::Carrier, "Check the keys of this card in the subscriber data."),
        Action::step(Acts::AccountHolder, "If the keys are right there, order a replacement card."),
    ],
    page: include_str!("authentication.md"),
    judge: |site| {
        super::refusal::refused(site, owns, "Card and network fail to authenticate each other.")
    },
    ..super::refusal::BLANK
};

fn owns(list: CauseList, cause: u8) -> bool {
    match list {
        Emm | FiveGmm => matches!(cause, 20 | 26),
        Gmm | Mm => matches!(cause, 20 | 23),
        _ => false,
    }
}
