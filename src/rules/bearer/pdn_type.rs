#![doc = include_str!("pdn_type.md")]

use crate::rules::{Action, Acts, Rule};

pub(super) static RULE: Rule = Rule {
 id: "bearer/pdn-type",
 asks: "Does the network refuse the address type?",
 needs: &["AT+CEER", "AT+CEREG=3", "AT+CEREG?"],
 clause: "TS 24.301 §9.9.4.4; TS 24.008 §10.5.6.6",
 acts: Acts::Installer,
 actions: &[Action::step(Acts::Installer, "Set the address type that the carrier wants (often IP alone, or IPV4V6) on the attach context.").reading(&["AT+CGDCONT?"]), Action::step(Acts::Carrier, "Ask which address types the contract allows.")],
 explains: &["bearer/inactive", "registration/attach-bearer", "registration/denied", "registration/searching", "registration/idle", "path/"],
 page: include_str!("pdn_type.md"),
 judge: |site| super::refused(site, |c| matches!(c, 28 | 50 | 51 | 57 | 58), "The network refuses the address type of the context.", "this address type is not allowed"),
};
