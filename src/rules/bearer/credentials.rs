#![doc = include_str!("credentials.md")]

use crate::rules::{Action, Acts, Rule};

pub(super) static RULE: Rule = Rule {
    id: "bearer/credentials",
    asks: "Are user name and password of the access point right?",
    needs: &["AT+CEER", "AT+CEREG=3", "AT+CEREG?"],
    clause: "TS 24.301 §9.9.4.4; TS 24.008 §10.5.6.6",
    acts: Acts::AccountHolder,
    actions: &[
        Action::step(
            Acts::AccountHolder,
            "Ask the carrier for user name, password and kind of authentication (PAP or CHAP) of this access point.",
        ),
        Action::step(Acts::Installer, "Set them on the attach context.").reading(&["AT+CGAUTH?"]),
    ],
    explains: &[
        "bearer/inactive",
        "registration/attach-bearer",
        "registration/denied",
        "registration/searching",
        "registration/idle",
        "path/",
    ],
    page: include_str!("credentials.md"),
    judge: |site| {
        super::refused(
            site,
            |c| c == 29,
            "The access point refuses user name or password.",
            "user authentication failed",
        )
    },
};
