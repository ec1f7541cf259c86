#![doc = include_str!("protocol_error.md")]

use crate::reference::causes::CauseList::{self, Emm, FiveGmm, Gmm, Mm};
use crate::rules::{Action, Acts, Rule};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/protocol-error",
    kind_of: Some(&super::network_trouble::RULE),
    asks: "Does one side not understand the other?",
    acts: Acts::Maker,
    actions: &[
        Action::step(Acts::Installer, "Look at the context that the attach uses: an address type or an option that the network cannot read is the usual reason.").reading(&["AT+CGDCONT?"]),
        Action::step(Acts::Maker, "Ask for the newest firmware, and report cause, network and firmware.").reading(&["AT+CGMR"]),
    ],
    page: include_str!("protocol_error.md"),
    judge: |site| super::refusal::refused(site, owns, "Modem and network do not understand each other: a protocol error."),
    ..super::refusal::BLANK
};

fn owns(list: CauseList, cause: u8) -> bool {
    matches!(list, Emm | Gmm | Mm | FiveGmm) && matches!(cause, 95..=101 | 111)
}
