#![doc = include_str!("no_suitable_cell.md")]

use crate::reference::causes::CauseList::{self, Emm, FiveGmm, Gmm, Mm};
use crate::rules::{Action, Acts, Rule};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/no-suitable-cell",
    kind_of: Some(&super::area::RULE),
    asks: "Does nothing in this area serve the card?",
    follow_up: super::refusal::WHERE,
    question: Some("Is the modem set to one technology alone (LTE-M, NB-IoT)?"),
    commonness: 2,
    acts: Acts::Installer,
    actions: &[
        Action::step(Acts::Installer, "Allow every technology that the modem has, set automatic network selection, and let it search again; over LTE-M or NB-IoT that takes up to half an hour.").changing(&["AT+COPS=0"]),
        Action::step(Acts::AccountHolder, "Ask the carrier whether the plan includes LTE-M or NB-IoT, if the modem uses one of them, and whether the card may roam here."),
    ],
    page: include_str!("no_suitable_cell.md"),
    judge: |site| super::refusal::refused(site, owns, "No cell of this area may serve the card: the technology is not in the plan, or roaming is allowed only elsewhere."),
    ..super::refusal::BLANK
};

fn owns(list: CauseList, cause: u8) -> bool {
    matches!(list, Emm | Gmm | Mm | FiveGmm) && cause == 15
}
