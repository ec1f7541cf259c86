#![doc = include_str!("subscriber.md")]

use crate::reference::causes::CauseList::{self, Emm, FiveGmm, Gmm, Mm};
use crate::rules::{Action, Acts, Certainty, Judgement, Rule, Site, holds};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/subscriber",
    asks: "Does the network refuse this subscriber?",
    question: Some("Does the same card register in another device?"),
    commonness: 5,
    acts: Acts::AccountHolder,
    actions: &[
        Action::step(
            Acts::AccountHolder,
            "Ask the carrier whether this card is active, paid, has a plan with packet data for this technology (LTE-M or NB-IoT where used), and is bound to this device where the plan asks for that.",
        ),
        Action::step(
            Acts::Carrier,
            "Look up the subscriber by the ICCID and say why the network refuses it.",
        ),
    ],
    page: include_str!("subscriber.md"),
    judge,
    ..super::refusal::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let refused = super::refusal::refused(site, owns, "The network refuses this subscriber.");
    match site.card.said_suspended.latest() {
        Some(o) if matches!(refused, Judgement::Open) => holds(
            Certainty::Likely,
            "The carrier has suspended or ended the contract of this card, by a person's word.",
            vec![o.says("a person says that the contract does not run")],
        ),
        _ => refused,
    }
}

fn owns(list: CauseList, cause: u8) -> bool {
    match list {
        Mm => matches!(cause, 2 | 3 | 33),
        Gmm => matches!(cause, 3 | 7 | 8),
        Emm => matches!(cause, 3 | 7 | 8),
        FiveGmm => matches!(cause, 3 | 7 | 62 | 72 | 79 | 94),
        _ => false,
    }
}
