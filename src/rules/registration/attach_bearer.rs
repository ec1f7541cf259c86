#![doc = include_str!("attach_bearer.md")]

use crate::rules::{Action, Acts, Consequence, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/attach-bearer",
    asks: "Was the attach refused because of its data session?",
    settled_by: &[&reads::REASON, &reads::REASON_5G, &reads::LAST_FAILURE],
    follow_up: &[&reads::LAST_FAILURE, &reads::CONTEXTS, &reads::AUTHENTICATION],
    clause: "TS 24.301 §9.9.3.9; TS 24.008 §10.5.5.14",
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "Look at the context that the attach uses: name, address type, authentication; \
             and ask for the session's own reason.",
    )
    .reading(&["AT+CGDCONT?", "AT+CEER"])],
    explains: &[
        Consequence::Rule(&super::denied::RULE),
        Consequence::Rule(&super::searching::RULE),
        Consequence::Rule(&super::idle::RULE),
        Consequence::Rule(&super::emergency::RULE),
        Consequence::Rule(&super::manual::RULE),
    ],
    page: include_str!("attach_bearer.md"),
    judge: |site| {
        super::refused(
            site,
            &[19],
            "The network refuses the attach because of the data session that comes with it.",
            "refused for a reason of the data session",
        )
    },
    ..Rule::BLANK
};
