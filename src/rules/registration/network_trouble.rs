#![doc = include_str!("network_trouble.md")]

use crate::reference::causes::CauseList::{self, Emm, FiveGmm, Gmm, Mm};
use crate::rules::{Action, Acts, Certainty, Judgement, Rule, Site, holds};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/network-trouble",
    asks: "Is the network congested or failing?",
    question: Some("Are other devices of the same carrier at this place in the same trouble?"),
    acts: Acts::Carrier,
    actions: &[
        Action::step(
            Acts::Nobody,
            "Wait: the modem tries again by itself. A restart does not help, and with congestion it adds to the load.",
        ),
        Action::step(Acts::Carrier, "If it lasts for hours, report cell, area and time.")
            .reading(&["AT+CEREG=2", "AT+CEREG?"]),
    ],
    page: include_str!("network_trouble.md"),
    judge,
    ..super::refusal::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let named = super::refusal::refused(site, owns, "The network is congested or failing.");
    match site.registration.barred.latest() {
        Some(o) if matches!(named, Judgement::Open) => holds(
            Certainty::Likely,
            "The network bars access for now, or told the modem to wait.",
            vec![o.says("access barred, or a time to wait")],
        ),
        _ => named,
    }
}

fn owns(list: CauseList, cause: u8) -> bool {
    match list {
        Emm => matches!(cause, 16 | 17 | 22 | 39 | 42 | 83),
        Gmm => matches!(cause, 16 | 17 | 22 | 28),
        Mm => matches!(cause, 17 | 22 | 32 | 34 | 38 | 48..=63),
        FiveGmm => matches!(cause, 16 | 17 | 22 | 65 | 67 | 69 | 81 | 82 | 90 | 92 | 93),
        _ => false,
    }
}
