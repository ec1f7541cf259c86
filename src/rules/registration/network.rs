#![doc = include_str!("network.md")]

use crate::reference::causes::CauseList::{self, Emm, FiveGmm, Gmm, Mm};
use crate::rules::{Action, Acts, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/network",
    asks: "Does this network refuse the card?",
    follow_up: &[&reads::IDENTITY, &reads::FORBIDDEN, &reads::CHOICE, &reads::SEARCH],
    question: Some("Which country is the device in, and which carrier issued the card?"),
    acts: Acts::Carrier,
    actions: &[
        Action::step(Acts::AccountHolder, "Ask the carrier which networks the card may use here."),
        Action::step(
            Acts::Installer,
            "Set automatic network selection, so that the modem may try another network.",
        )
        .changing(&["AT+COPS=0"]),
        Action::step(
            Acts::Carrier,
            "Check which networks the card may use, and the roaming agreement with this one.",
        ),
    ],
    page: include_str!("network.md"),
    judge: |site| super::refusal::refused(site, owns, "This network does not let the card in."),
    ..super::refusal::BLANK
};

fn owns(list: CauseList, cause: u8) -> bool {
    match list {
        Emm | Gmm | Mm => matches!(cause, 11 | 14 | 35 | 36),
        FiveGmm => matches!(cause, 11 | 36 | 73..=75),
        _ => false,
    }
}
