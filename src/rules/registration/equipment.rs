#![doc = include_str!("equipment.md")]

use crate::reference::causes::CauseList::{self, Emm, FiveGmm, Gmm, Mm};
use crate::rules::{Action, Acts, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/equipment",
    asks: "Does the network refuse this device?",
    follow_up: &[&reads::EQUIPMENT, &reads::MODEL, &reads::IDENTITY],
    question: Some("Does the same card register in another device?"),
    acts: Acts::AccountHolder,
    actions: &[
        Action::step(Acts::AccountHolder, "Give the carrier the device's IMEI and ask whether it is blocked, or not on the list of approved devices.").reading(&["AT+CGSN"]),
        Action::step(Acts::Carrier, "Check the equipment register for this IMEI."),
    ],
    page: include_str!("equipment.md"),
    judge: |site| super::refusal::refused(site, owns, "The network refuses this device."),
    ..super::refusal::BLANK
};

fn owns(list: CauseList, cause: u8) -> bool {
    match list {
        Emm | Gmm | Mm | FiveGmm => matches!(cause, 5 | 6),
        _ => false,
    }
}
