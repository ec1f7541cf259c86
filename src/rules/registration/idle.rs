#![doc = include_str!("idle.md")]

use crate::case::Domain;
use crate::caution::RADIATES;
use crate::rules::registration_status::{card_unread, held_back};
use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, Layer, RegistrationStatus, Rule, Site,
    circuit_registered, covers_only, data_known, holds, reads, so_far,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/idle",
    asks: "Has the modem stopped looking for a network?",
    settled_by: &[&reads::EPS_STATE, &reads::PACKET_STATE, &reads::CIRCUIT_STATE, &reads::CHOICE],
    amendment: Some("network"),
    question: Some(
        "Does the host's program switch the radio off or choose a network, and what does it send at its start?",
    ),
    is_state: |site| !was_told_to_leave(site),
    clause: "TS 27.007 §7.2, §7.3, §10.1.22",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "See first that the SIM is ready, that the radio is on, and whether a network is chosen by hand: each of \
             them keeps a modem from searching.",
        )
        .reading(&["AT+CPIN?", "AT+CFUN?", "AT+COPS?"])
        .unless(|site| is_all_known(site) || was_told_to_leave(site)),
        Action::step(Acts::Installer, "Wait some minutes after the start, and read again.")
            .unless(|site| covers_only(site).is_none()),
        Action::step(
            Acts::Installer,
            "Set automatic network choice, which also starts a new search, and wait some minutes.",
        )
        .changing(&["AT+COPS=0"])
        .unless(|site| is_automatic(site) || covers_only(site).is_some()),
        Action::step(
            Acts::Installer,
            "The network is chosen automatically already: switch the radio off and on once, which starts a new search.",
        )
        .changing(&["AT+CFUN=4", "AT+CFUN=1"])
        .with_care(RADIATES)
        .unless(|site| !is_automatic(site) || covers_only(site).is_some()),
    ],
    explains: &[
        Consequence::Rule(&crate::rules::bearer::inactive::RULE),
        Consequence::Layer(Layer::Path),
    ],
    page: include_str!("idle.md"),
    judge,
    ..Rule::BLANK
};

/// Whether the network is chosen automatically.
fn is_automatic(site: &Site<'_>) -> bool {
    site.registration.operator.latest().is_some_and(|o| o.value.mode == 0)
}

/// Whether a command took it off the network.
fn was_told_to_leave(site: &Site<'_>) -> bool {
    site.registration.operator.latest().is_some_and(|o| o.value.mode == 2)
}

/// Whether card, radio and network choice were read.
fn is_all_known(site: &Site<'_>) -> bool {
    site.card.state.latest().is_some()
        && site.device.functionality.latest().is_some()
        && site.registration.operator.latest().is_some()
}

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
        // With the radio off, words for no registration say no more than that it is off.
        Some((RegistrationStatus::Idle, _))
            if certainty(site) == Certainty::Possible && held_back(site) =>
        {
            Judgement::Open
        }
        Some((RegistrationStatus::Idle, evidence)) => match circuit_registered(site) {
            Some(circuit) => Judgement::RuledOut(circuit),
            None => holds(
                certainty(site),
                so_far(site, "The modem is not registered and does not search"),
                vec![evidence],
            ),
        },
        Some((_, evidence)) if data_known(site) => Judgement::RuledOut(evidence),
        // The circuit domain alone says nothing of data.
        Some(_) => Judgement::Open,
        None => Judgement::Open,
    }
}

/// A person's or a host's words name no domain, and the 5G core's state says nothing of LTE.
fn certainty(site: &Site<'_>) -> Certainty {
    let read =
        [Domain::Eps, Domain::Packet, Domain::Circuit].iter().any(|d| site.stat(*d).is_some());
    if read && !card_unread(site) { Certainty::Likely } else { Certainty::Possible }
}
