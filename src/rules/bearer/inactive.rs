#![doc = include_str!("inactive.md")]

use crate::case::History;
use crate::reference::models::System;
use crate::reference::status_words::{LinkState, SessionState};
use crate::rules::registration_status::{opening_failed, session_lost};
use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, Layer, Rule, Site, bearer_up,
    circuit_registered, holds, reads, so_far,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "bearer/inactive",
    asks: "Is a context active?",
    settled_by: &[&reads::SESSIONS],
    commonness: 6,
    follow_up: super::session::FOLLOW_UP,
    question: Some(
        "What does the device respond to the command that opens the session? Send the text from there on.",
    ),
    is_state: |_| true,
    clause: "TS 27.007 §10.1.10",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Activate the context that has the right access point name, and read its address.",
        )
        .changing(&["AT+CGACT=1,{context}"])
        .of_context(super::session::data_context)
        .unless(was_tried),
        Action::step(Acts::Installer, "If that fails, read the reason at once.")
            .reading(&["AT+CEER"])
            .unless(was_tried),
        Action::step(
            Acts::Installer,
            "Read name and address type of the context, then try once more and read the reason right behind the \
             failed try.",
        )
        .reading(&["AT+CGDCONT?", "AT+CEER"])
        .unless(|site| !was_tried(site)),
    ],
    explains: &[Consequence::Layer(Layer::Path)],
    page: include_str!("inactive.md"),
    judge,
    ..Rule::BLANK
};

/// Whether the text shows a try to open a session that failed.
fn was_tried(site: &Site<'_>) -> bool {
    opening_failed(site).is_some()
        || site.sessions.no_carrier.latest().is_some()
        || session_lost(site).is_some()
}

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = bearer_up(site) {
        return Judgement::RuledOut(evidence);
    }
    let latest = site.sessions.active.iter().filter_map(|(cid, h)| h.latest().map(|o| (*cid, o)));
    let states: Vec<_> = latest.filter(|(cid, _)| site.is_for_data(*cid)).collect();
    let Some(first) = states.first() else { return failed(site) };
    // Another context than the one that was asked for may be active.
    if states.iter().any(|(_, o)| o.value) {
        return failed(site);
    }
    if let Some(judgement) = closed_again(site) {
        return judgement;
    }
    // A module for 2G alone has no other registration than the circuit domain's to show before its session is open.
    let old = || circuit_registered(site).filter(|_| site.system() == Some(System::Gsm));
    match site.online().or_else(old) {
        Some(evidence) => {
            // A list whose request is not in the text may begin in its middle.
            let whole = site.dialogue.has_sent("+CGACT?");
            holds(
                if whole { Certainty::Likely } else { Certainty::Possible },
                so_far(site, "The modem is on the network, but no data session is open"),
                vec![
                    evidence,
                    first.1.says(format!("context {} is not active, nor is any other", first.0)),
                ],
            )
        }
        None => failed(site),
    }
}

/// The last attempt to open a session ended badly without a reason: a command was refused, a dial ended without a
/// carrier, or the link to the network's side failed.
fn failed(site: &Site<'_>) -> Judgement {
    if let Some(judgement) = switched_off(site) {
        return judgement;
    }
    // Without the attach no session opens.
    if site.registration.attached.latest().is_some_and(|o| !o.value) {
        return Judgement::Open;
    }
    if let Some(judgement) = closed_again(site) {
        return judgement;
    }
    let dials = site.sessions.no_carrier.current();
    let links = site.path.links.current().iter().filter(|o| o.value == LinkState::Failed);
    let attempts = dials.len() + links.count();
    let dial = dials.last().map(|o| o.says("the dial command ended without a carrier"));
    let failure =
        opening_failed(site).or_else(|| session_lost(site).map(|(_, evidence)| evidence)).or(dial);
    match (failure, site.online()) {
        (Some(failure), Some(evidence)) => holds(
            Certainty::Likely,
            "The modem is on the network, and opening a data session fails.",
            vec![evidence, failure],
        ),
        // Nothing is known of the registration: one failure may have any cause.
        (Some(failure), None) if site.registration_status().is_none() => holds(
            if attempts >= 2 { Certainty::Likely } else { Certainty::Possible },
            "Opening a data session fails.",
            vec![failure],
        ),
        _ => Judgement::Open,
    }
}

/// Sessions that were open and were closed by the network, more than once.
fn closed_again(site: &Site<'_>) -> Option<Judgement> {
    let sessions = &site.sessions;
    let addresses = sessions.addresses.values().flat_map(History::all);
    let active = || sessions.active.values().flat_map(History::all);
    let mut opened = addresses.filter(|o| !o.value.is_empty()).map(|o| o.order).collect::<Vec<_>>();
    opened.extend(active().filter(|o| o.value).map(|o| o.order));
    let released = sessions.released.all().iter().filter(|o| !o.value);
    let ended = active().filter(|o| !o.value);
    let mut ends: Vec<_> = released.chain(ended).map(|o| (o.order, o.says("closed"))).collect();
    ends.sort_by_key(|(order, _)| *order);
    let mut from = 0;
    let mut evidence = Vec::new();
    for (order, end) in ends {
        if opened.iter().any(|o| (from..order).contains(o)) {
            evidence.push(end);
        }
        from = order;
    }
    (evidence.len() > 1).then(|| {
        let words = "Data sessions are opened, and are closed again soon after.";
        holds(Certainty::Likely, words, evidence)
    })
}

/// Data that a setting of the host keeps off.
fn switched_off(site: &Site<'_>) -> Option<Judgement> {
    let o = site.sessions.reported.latest()?;
    let says = match o.value {
        SessionState::DataSwitchedOff => "data are switched off at the host",
        SessionState::RoamingSwitchedOff => "data while roaming are switched off at the host",
        _ => return None,
    };
    Some(holds(Certainty::Likely, "A setting of the host keeps data off.", vec![o.says(says)]))
}
