#![doc = include_str!("attach_bearer.md")]

use crate::reference::causes::CauseList;
use crate::rules::{Action, Acts, Consequence, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/attach-bearer",
    asks: "Was the attach refused because of its data session?",
    follow_up: &[&reads::CONTEXTS, &reads::AUTHENTICATION, &reads::LAST_FAILURE, &reads::IDENTITY],
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
        super::refusal::refused(
            site,
            owns,
            "The network refuses the attach because of the data session that comes with it.",
        )
    },
    ..super::refusal::BLANK
};

fn owns(list: CauseList, cause: u8) -> bool {
    list == CauseList::Emm && cause == 19 || list == CauseList::FiveGmm && cause == 91
}
