#![doc = include_str!("denied.md")]

use crate::case::{Domain, Registration};
use crate::case::{Evidence, Observation};
use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, Layer, RegistrationStatus, Rule, Site,
    data_known, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/denied",
    asks: "Did the network refuse the modem?",
    settled_by: &[
        &reads::REASON,
        &reads::REASON_5G,
        &reads::LAST_FAILURE,
        &reads::EPS_STATE,
        &reads::PACKET_STATE,
        &reads::CIRCUIT_STATE,
    ],
    commonness: 4,
    question: Some(
        "Does the same card register in another device, and another carrier's card in this one?",
    ),
    is_state: |_| true,
    clause: "TS 27.007 §7.2, §10.1.22 (state 3)",
    acts: Acts::AccountHolder,
    actions: &[
        Action::step(
            Acts::Installer,
            "Have the network's reason read, as the questions ask: it decides who can mend it.",
        ),
        Action::step(
            Acts::AccountHolder,
            "Ask the carrier whether this card is active, has packet data for this \
             technology, and is allowed in this device.",
        ),
    ],
    explains: &[
        Consequence::Layer(Layer::Bearer),
        Consequence::Layer(Layer::Path),
        Consequence::Rule(&super::searching::RULE),
        Consequence::Rule(&super::idle::RULE),
        Consequence::Rule(&super::emergency::RULE),
    ],
    page: include_str!("denied.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    match site.registration_status() {
        Some((RegistrationStatus::Denied, evidence)) if data_known(site) => {
            holds(Certainty::Certain, "The network hears the modem and refuses it.", vec![evidence])
        }
        Some((RegistrationStatus::Denied, evidence)) if site.stat(Domain::Circuit).is_none() => {
            holds(
                Certainty::Likely,
                "The network refuses the modem, as the device says in words.",
                vec![evidence],
            )
        }
        // A card for data alone is refused for voice, and its data works.
        Some((RegistrationStatus::Denied, evidence)) => holds(
            Certainty::Likely,
            "The network refuses the modem for voice and messages; its state for data was not read.",
            vec![evidence],
        ),
        Some((_, evidence)) if data_known(site) => match refused_before(site) {
            Some(refused) => holds(
                Certainty::Likely,
                "The network refused the modem, which is not registered since.",
                vec![refused],
            ),
            None => Judgement::RuledOut(evidence),
        },
        // The circuit domain alone says nothing of data.
        Some(_) => Judgement::Open,
        None => Judgement::Open,
    }
}

/// A refusal in a domain that carries data and that is the only thing that came of trying there since
/// the last start: the modem goes on searching, or rests, after one (TS 24.301 §5.5.1.2.5).
fn refused_before(site: &Site<'_>) -> Option<Evidence> {
    [Domain::FiveG, Domain::Eps, Domain::Packet].into_iter().find_map(|domain| {
        let states = site.registration.states.of(domain).current();
        let stands = |o: &&Observation<Registration>| RegistrationStatus::of(o.value.stat);
        let tried = states.iter().rev().find(|o| {
            !matches!(
                stands(o),
                RegistrationStatus::Searching
                    | RegistrationStatus::Idle
                    | RegistrationStatus::Unknown
            )
        })?;
        (stands(&tried) == RegistrationStatus::Denied)
            .then(|| tried.says("refused by the network; no other answer came since"))
    })
}
