#![doc = include_str!("manual.md")]

use crate::rules::{
    Action, Acts, Certainty, Check, Consequence, Judgement, Layer, RegistrationStatus, Rule, Site,
    holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/manual",
    asks: "Is the modem bound to a network that it cannot reach?",
    follow_up: &[&reads::CHOICE, &reads::SEARCH],
    settled_by: &[&reads::CHOICE],
    amendment: Some("network"),
    commonness: 2,
    check: Some(Check::Settings),
    question: Some(
        "Was the network chosen by hand on purpose, and is the device still in the same place?",
    ),
    clause: "TS 27.007 §7.3",
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "Set automatic network choice and wait some minutes.",
    )
    .changing(&["AT+COPS=0"])],
    explains: &[
        Consequence::Rule(&super::searching::RULE),
        Consequence::Rule(&super::idle::RULE),
        Consequence::Rule(&super::emergency::RULE),
        Consequence::Layer(Layer::Bearer),
        Consequence::Layer(Layer::Path),
    ],
    page: include_str!("manual.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let Some(o) = site.registration.operator.latest() else { return Judgement::Open };
    if o.value.mode != 1 {
        return Judgement::RuledOut(o.says(match o.value.mode {
            0 => "the network is chosen automatically",
            4 => "a named network first, then any",
            _ => "no network is chosen by hand",
        }));
    }
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    match site.registration_status() {
        Some((
            RegistrationStatus::Idle
            | RegistrationStatus::Searching
            | RegistrationStatus::Emergency
            | RegistrationStatus::Denied,
            evidence,
        )) if o.value.name.is_none() => holds(
            Certainty::Likely,
            "A network is chosen by hand and cannot be reached.",
            vec![o.says("chosen by hand (mode 1), and none in use"), evidence],
        ),
        // While it searches, a modem can only give the network that was chosen.
        Some((
            RegistrationStatus::Idle
            | RegistrationStatus::Searching
            | RegistrationStatus::Emergency,
            evidence,
        )) => holds(
            Certainty::Likely,
            "A network is chosen by hand and cannot be reached.",
            vec![o.says("chosen by hand (mode 1), while none is found"), evidence],
        ),
        Some((RegistrationStatus::Denied, evidence)) => holds(
            Certainty::Possible,
            "A network is chosen by hand, and the modem is not registered on it.",
            vec![o.says("chosen by hand (mode 1)"), evidence],
        ),
        _ => Judgement::Open,
    }
}
