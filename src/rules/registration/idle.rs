#![doc = include_str!("idle.md")]

use crate::case::Domain;
use crate::reference::models::System;
use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, Layer, RegistrationStatus, Rule, Site,
    circuit_registered, data_known, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/idle",
    asks: "Has the modem stopped looking for a network?",
    settled_by: &[&reads::EPS_STATE, &reads::PACKET_STATE, &reads::CIRCUIT_STATE, &reads::CHOICE],
    amendment: Some("network"),
    question: Some(
        "Does the host's program switch the radio off or choose a network, and what does it send at its start?",
    ),
    clause: "TS 27.007 §7.2, §7.3, §10.1.22",
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "Set automatic network choice, which also starts a new search, and wait some minutes.",
    )
    .changing(&["AT+COPS=0"])],
    explains: &[
        Consequence::Rule(&crate::rules::bearer::inactive::RULE),
        Consequence::Layer(Layer::Path),
    ],
    page: include_str!("idle.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(o) = site.registration.operator.latest().filter(|o| o.value.mode == 2) {
        return match site.online() {
            Some(evidence) => Judgement::RuledOut(evidence),
            None => holds(
                Certainty::Certain,
                "The modem was deregistered by command.",
                vec![o.says("deregistered by command (mode 2)")],
            ),
        };
    }
    match site.registration_status() {
        Some((RegistrationStatus::Idle, evidence)) => match circuit_registered(site) {
            Some(circuit) => Judgement::RuledOut(circuit),
            None => holds(
                certainty(site),
                "The modem is not registered and does not search.",
                vec![evidence],
            ),
        },
        Some((_, evidence)) if data_known(site) => Judgement::RuledOut(evidence),
        // The circuit domain alone says nothing of data.
        Some(_) => Judgement::Open,
        None => Judgement::Open,
    }
}

/// A state of the circuit domain says nothing of data on LTE, nor does one of the 5G core; a person's or a host's
/// words name no domain.
fn certainty(site: &Site<'_>) -> Certainty {
    let packet = [Domain::Eps, Domain::Packet].iter().any(|d| site.stat(*d).is_some());
    let only_circuit = matches!(site.system(), Some(System::Gsm | System::Umts));
    if packet || only_circuit { Certainty::Likely } else { Certainty::Possible }
}
