#![doc = include_str!("searching.md")]

use crate::case::{Evidence, Rat, ReportedBy};
use crate::reference::models::System;
use crate::rules::registration_status::held_back;

use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, Layer, RegistrationStatus, Rule, Site,
    data_known, holds, reads, so_far,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/searching",
    asks: "Does the modem search without finding its network?",
    settled_by: &[&reads::EPS_STATE, &reads::PACKET_STATE, &reads::CIRCUIT_STATE],
    commonness: 4,
    question: Some(
        "How long has it searched since the start, and does a phone with a card of the same carrier have service at the same spot?",
    ),
    is_state: |_| true,
    clause: "TS 27.007 §7.2, §10.1.22",
    acts: Acts::Installer,
    actions: &[
        Action::step(Acts::Installer, "Wait some minutes: a first search over many bands takes them.")
            .unless(|site| is_narrow(site) || is_long(site)),
        Action::step(
            Acts::Installer,
            "Wait: a first search over LTE-M or NB-IoT can take half an hour.",
        )
        .unless(|site| !is_narrow(site)),
        Action::step(
            Acts::Installer,
            "Look at level, bands, technologies and the network choice, and for a lock to single cells that was left \
             behind.",
        )
        .reading(&["AT+CSQ", "AT+COPS?"]),
        Action::step(
            Acts::Installer,
            "Ask which networks are heard. The search takes minutes and drops the link meanwhile.",
        )
        .reading(&["AT+COPS=?"])
        .unless(|site| site.registration.scans.latest().is_some()),
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

/// Whether the modem uses, or may use, LTE-M or NB-IoT.
fn is_narrow(site: &Site<'_>) -> bool {
    let narrow = |rat: &Rat| matches!(rat, Rat::LteM | Rat::NbIot);
    site.radio.technology.latest().is_some_and(|o| narrow(&o.value))
        || site.radio.allowed.latest().is_some_and(|o| o.value.iter().any(narrow))
        || site.system() == Some(System::NbIot)
}

/// Whether it was seen searching for some minutes.
fn is_long(site: &Site<'_>) -> bool {
    const MINUTES: f64 = 180.0;
    site.registration.states.values().any(|states| {
        let searches: Vec<_> = states
            .current()
            .iter()
            .filter(|o| o.value.status() == RegistrationStatus::Searching)
            .filter_map(|o| o.at)
            .collect();
        let ends = searches.first().zip(searches.last());
        ends.is_some_and(|(first, last)| last.seconds_since(*first) >= MINUTES)
    })
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
                so_far(site, "The modem searches and has found no network that takes it"),
                vec![evidence],
            ),
        },
        Some((RegistrationStatus::Unknown, evidence)) => match (site.online(), left(site)) {
            (Some(known), _) | (None, Some(known)) => Judgement::RuledOut(known),
            // "No network" is what people say of every trouble; with the radio off nothing is searched for.
            (None, None) if evidence.by == ReportedBy::Person || held_back(site) => Judgement::Open,
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
