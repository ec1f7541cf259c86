#![doc = include_str!("apn_unknown.md")]

use crate::rules::{Action, Acts, Rule};

pub(super) static RULE: Rule = Rule {
    id: "bearer/apn-unknown",
    asks: "Does the network know the access point name?",
    needs: &["AT+CEER", "AT+CEREG=3", "AT+CEREG?"],
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
        "bearer/inactive",
        "registration/attach-bearer",
        "registration/denied",
        "registration/searching",
        "registration/idle",
        "path/",
        "bearer/apn-blank",
    ],
    page: include_str!("apn_unknown.md"),
    judge: |site| {
        super::refused(
            site,
            |c| c == 27,
            "The network does not know this access point name.",
            "access point name missing or unknown",
        )
    },
};
