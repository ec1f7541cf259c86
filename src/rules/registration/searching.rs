#![doc = include_str!("searching.md")]

use crate::case::Evidence;

use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, Layer, RegistrationStatus, Rule, Site,
    data_known, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/searching",
    asks: "Does the modem search without finding its network?",
    settled_by: &[&reads::EPS_STATE, &reads::PACKET_STATE, &reads::CIRCUIT_STATE],
    commonness: 4,
    question: Some(
        "How long has it searched since the start, and does a phone with a card of the same carrier have service at the same spot?",
    ),
    clause: "TS 27.007 §7.2, §10.1.22",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Wait: a first search can take minutes, over LTE-M or NB-IoT half an hour. Then \
             look at level, bands, technologies and the network choice, and for a lock to \
             single cells that was left behind.",
        )
        .reading(&["AT+CSQ", "AT+CESQ", "AT+COPS?"]),
        Action::step(
            Acts::Installer,
            "Ask which networks are heard. The search takes minutes and drops the link meanwhile.",
        )
        .reading(&["AT+COPS=?"]),
        Action::step(
            Acts::AccountHolder,
            "Ask the carrier whether the SIM is active and which networks it may use.",
        ),
    ],
    explains: &[
        Consequence::Rule(&crate::rules::bearer::inactive::RULE),
        Consequence::Layer(Layer::Path),
    ],
    page: include_str!("searching.md"),
    judge,
    ..Rule::BLANK
};

/// A lock to single cells, which a modem keeps when it is moved.
fn locked(site: &Site<'_>) -> Option<Evidence> {
    site.radio
        .cell_lock
        .latest()
        .filter(|o| o.value)
        .map(|o| o.says("a lock to single cells is set"))
}

fn judge(site: &Site<'_>) -> Judgement {
    match site.registration_status() {
        Some((RegistrationStatus::Searching, evidence)) => match site.online() {
            Some(online) => Judgement::RuledOut(online),
            None if locked(site).is_some() => holds(
                Certainty::Likely,
                "The modem is bound to single cells and finds none of them.",
                locked(site).into_iter().chain([evidence]).collect(),
            ),
            None => holds(
                Certainty::Likely,
                "The modem searches and finds no network that takes it.",
                vec![evidence],
            ),
        },
        Some((RegistrationStatus::Unknown, evidence)) => match (site.online(), left(site)) {
            (Some(known), _) | (None, Some(known)) => Judgement::RuledOut(known),
            (None, None) => holds(
                Certainty::Possible,
                "The modem's registration is unknown, as out of coverage.",
                vec![evidence],
            ),
        },
        Some((_, evidence)) if data_known(site) => Judgement::RuledOut(evidence),
        // The circuit domain alone says nothing of data.
        Some(_) => Judgement::Open,
        None => site.online().map_or(Judgement::Open, Judgement::RuledOut),
    }
}

/// What shows that the modem was told to leave the network (mode 2), and so does not search.
fn left(site: &Site<'_>) -> Option<Evidence> {
    let o = site.registration.operator.latest().filter(|o| o.value.mode == 2)?;
    Some(o.says("deregistered by command (mode 2)"))
}
