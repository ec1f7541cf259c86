#![doc = include_str!("apn_unknown.md")]

use crate::rules::{Action, Acts, Consequence, Layer, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "bearer/apn-unknown",
    asks: "Does the network know the access point name?",
    settled_by: &[&reads::LAST_FAILURE, &reads::REASON],
    amendment: Some("access-point NAME"),
    commonness: 3,
    follow_up: super::session::WHOSE_NAME,
    question: Some(
        "Which access point name does the carrier's letter or page give for this contract?",
    ),
    clause: "TS 24.301 §9.9.4.4; TS 24.008 §10.5.6.6",
    acts: Acts::AccountHolder,
    actions: &[
        Action::step(
            Acts::AccountHolder,
            "Ask the carrier for the exact access point name of this contract.",
        ),
        Action::step(
            Acts::Installer,
            "Write that name on the context that the attach uses, then let the modem attach again.",
        )
        .reading(&["AT+CGDCONT?"]),
    ],
    explains: &[
        Consequence::Rule(&super::inactive::RULE),
        Consequence::Rule(&crate::rules::registration::attach_bearer::RULE),
        Consequence::Rule(&crate::rules::registration::denied::RULE),
        Consequence::Rule(&crate::rules::registration::searching::RULE),
        Consequence::Rule(&crate::rules::registration::idle::RULE),
        Consequence::Layer(Layer::Path),
        Consequence::Rule(&super::apn_blank::RULE),
    ],
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
