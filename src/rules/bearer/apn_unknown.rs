#![doc = include_str!("apn_unknown.md")]

use crate::rules::{Acts, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "bearer/apn-unknown",
    asks: "Does the network know the access point name?",
    settled_by: &[&reads::LAST_FAILURE, &reads::REASON],
    amendment: Some("access-point NAME"),
    commonness: 3,
    follow_up: super::session::WHOSE_NAME,
    question: Some(super::session::WHICH_NAME),
    clause: "TS 24.301 §9.9.4.4; TS 24.008 §10.5.6.6",
    acts: Acts::AccountHolder,
    actions: &[super::session::ASK_FOR_THE_NAME, super::session::WRITE_THE_NAME],
    explains: super::consequences::AFTER_REFUSAL,
    page: include_str!("apn_unknown.md"),
    judge: |site| {
        super::session::refused(
            site,
            |c| c == 27,
            "The network does not know this access point name.",
            "access point name missing or unknown",
        )
    },
    ..Rule::BLANK
};
