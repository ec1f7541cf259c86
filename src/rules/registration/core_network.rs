#![doc = include_str!("core_network.md")]

use crate::reference::causes::CauseList::{self, Emm, FiveGmm};
use crate::rules::{Action, Acts, Rule};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/core-network",
    kind_of: Some(&super::network::RULE),
    asks: "Does the network want the modem on its other core?",
    follow_up: super::refusal::WHERE,
    question: Some("Does the contract include standalone 5G?"),
    acts: Acts::Installer,
    actions: &[
        Action::step(Acts::Installer, "Allow both LTE and 5G, so that the modem can follow."),
        Action::step(
            Acts::AccountHolder,
            "Ask the carrier whether the plan includes standalone 5G.",
        ),
    ],
    page: include_str!("core_network.md"),
    judge: |site| {
        super::refusal::refused(
            site,
            owns,
            "The network serves this card only from its other core (4G or 5G).",
        )
    },
    ..super::refusal::BLANK
};

fn owns(list: CauseList, cause: u8) -> bool {
    match list {
        Emm => cause == 31,
        FiveGmm => matches!(cause, 27 | 31),
        _ => false,
    }
}
