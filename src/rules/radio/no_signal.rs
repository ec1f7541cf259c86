#![doc = include_str!("no_signal.md")]

use crate::rules::registration_status::{card_unread, held_back, just_started};
use crate::rules::{
    ANTENNA, Action, Acts, Certainty, Check, Consequence, Judgement, Layer, RegistrationStatus,
    Rule, Site, VendorRead, covers_only, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "radio/no-signal",
    asks: "Does the modem hear any cell?",
    settled_by: &[&reads::LEVEL, &reads::FULL_LEVEL, &reads::SEARCH],
    vendor_read: Some(VendorRead::Cell),
    commonness: 4,
    check: Some(Check::Antenna),
    question: Some(
        "Is an antenna connected to the main connector, and does a phone with a card of the same carrier have service at the same spot?",
    ),
    clause: "TS 27.007 §8.5, §8.69",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "See first that the radio is on and the SIM is ready: without them many modems give no level.",
        )
        .reading(&["AT+CFUN?", "AT+CPIN?"])
        .unless(|site| {
            site.device.functionality.latest().is_some() && site.card.state.latest().is_some()
        }),
        Action::step(
            Acts::Installer,
            "Check that the antenna cable is on the main connector, screwed home at both \
             ends and not crushed, and that the antenna suits the bands used here.",
        )
        .with_care(ANTENNA),
        Action::step(
            Acts::Installer,
            "Ask which networks are heard at all. The search takes minutes and drops the \
             link meanwhile.",
        )
        .reading(&["AT+COPS=?"])
        .unless(|site| site.registration.scans.latest().is_some()),
    ],
    explains: &[
        Consequence::Layer(Layer::Registration),
        Consequence::Layer(Layer::Bearer),
        Consequence::Layer(Layer::Path),
    ],
    page: include_str!("no_signal.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    if let Some(evidence) = super::level::heard(site) {
        return Judgement::RuledOut(evidence);
    }
    let summary = "The modem hears no cell at all.";
    let unknown = super::level::nothing_measured(site);
    let empty = site.registration.scans.latest().filter(|o| o.value.is_empty());
    let order = unknown.map(|(order, _)| order).or(empty.map(|o| o.order));
    let Some(order) = order else { return Judgement::Open };
    if held_back(site) || just_started(site, order) {
        return Judgement::Open;
    }
    let nothing = unknown.map(|(_, o)| o.says("no value: nothing was measured"));
    if let Some(o) = empty {
        let searched = o.says("the search found no network");
        let evidence = nothing.into_iter().chain([searched]).collect();
        return holds(Certainty::Likely, summary, evidence);
    }
    let Some(says) = nothing else { return Judgement::Open };
    match site.registration_status() {
        Some((
            RegistrationStatus::Idle | RegistrationStatus::Searching | RegistrationStatus::Unknown,
            evidence,
        )) if covers_only(site).is_none() && !card_unread(site) => {
            holds(Certainty::Likely, summary, vec![says, evidence])
        }
        _ => holds(Certainty::Possible, summary, vec![says]),
    }
}
