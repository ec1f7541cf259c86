#![doc = include_str!("equipment.md")]

use crate::rules::{Action, Acts, Rule, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/equipment",
    asks: "Does the network refuse this device?",
    settled_by: &[&reads::REASON, &reads::REASON_5G, &reads::LAST_FAILURE],
    clause: "TS 24.301 §9.9.3.9; TS 24.008 §10.5.5.14",
    acts: Acts::AccountHolder,
    actions: &[
        Action::step(
            Acts::AccountHolder,
            "Give the carrier the device's IMEI and ask whether it is on a list of refused \
             or unapproved devices.",
        )
        .reading(&["AT+CGSN"]),
        Action::step(Acts::Carrier, "Check the equipment register for this IMEI."),
    ],
    explains: super::AFTER_REFUSAL,
    page: include_str!("equipment.md"),
    judge: |site| {
        super::refused(
            site,
            &[5, 6],
            "The network refuses this device (its IMEI).",
            "the network does not accept this device",
        )
    },
    ..Rule::BLANK
};
