#![doc = include_str!("emergency.md")]

use crate::case::Service;
use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, Layer, RegistrationStatus, Rule, Site, holds,
    reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/emergency",
    asks: "Is the modem limited to emergency service?",
    settled_by: &[&reads::EPS_STATE, &reads::PACKET_STATE, &reads::CIRCUIT_STATE, &reads::CHOICE],
    question: Some(
        "Did this card ever work in this place, and is it the same with another carrier's card?",
    ),
    is_state: |_| true,
    clause: "TS 27.007 §10.1.22 (state 8); TS 23.122 §3.5",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Read network choice, home network and the network's reason; limited service \
             follows from one of them.",
        )
        .reading(&["AT+COPS?", "AT+CIMI"]),
        Action::step(
            Acts::AccountHolder,
            "If the network's reason names the subscription, ask the carrier whether the SIM is active and which networks it may use.",
        ),
    ],
    explains: &[
        Consequence::Rule(&super::searching::RULE),
        Consequence::Layer(Layer::Bearer),
        Consequence::Layer(Layer::Path),
    ],
    page: include_str!("emergency.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    if let Some((RegistrationStatus::Emergency, evidence)) = site.registration_status() {
        return holds(
            Certainty::Certain,
            "The modem has a cell, and no normal service.",
            vec![evidence],
        );
    }
    match site.registration.service.latest() {
        Some(o) if o.value == Service::Limited => holds(
            Certainty::Likely,
            "The modem has a cell, and limited service only.",
            vec![o.says("camped without normal service")],
        ),
        Some(o) => Judgement::RuledOut(o.says("no limited service")),
        None => match site.registration_status() {
            Some((_, evidence)) => Judgement::RuledOut(evidence),
            None => Judgement::Open,
        },
    }
}
