#![doc = include_str!("not_subscribed.md")]

use crate::rules::{Action, Acts, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "bearer/not-subscribed",
    asks: "Does the contract include this session?",
    settled_by: &[&reads::LAST_FAILURE, &reads::REASON],
    follow_up: super::session::WHOSE_NAME,
    question: Some("Does the contract include data, and was all of its volume or credit used?"),
    clause: "TS 24.301 §9.9.4.4; TS 24.008 §10.5.6.6",
    acts: Acts::AccountHolder,
    actions: &[Action::step(
        Acts::AccountHolder,
        "Ask the carrier whether the contract includes this access point and packet data, and whether it is barred for cost or volume.",
    )],
    explains: super::consequences::AFTER_REFUSAL,
    page: include_str!("not_subscribed.md"),
    judge: |site| {
        super::session::refused(
            site,
            |c| matches!(c, 8 | 33),
            "The contract does not include this data session.",
            "not subscribed, or barred by the operator",
        )
    },
    ..Rule::BLANK
};
