#![doc = include_str!("weak.md")]

use crate::case::{Evidence, Observation, Registration, Service};
use crate::rules::registration_status::held_back;
use crate::rules::{
    ANTENNA, Action, Acts, Certainty, Consequence, Judgement, Rule, Site, VendorRead, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "radio/weak",
    asks: "Is the signal too weak to hold a link?",
    settled_by: &[&reads::LEVEL, &reads::FULL_LEVEL],
    vendor_read: Some(VendorRead::Cell),
    commonness: 2,
    beside_connection: true,
    question: Some("Where is the antenna: indoors, in a metal cabinet, or outside?"),
    clause: "TS 36.133 §9.1.4 (RSRP); thresholds: common practice, no source",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Look for a better place for the antenna: higher, outdoors, away from metal, \
             with a short cable; then one with more gain, aimed.",
        )
        .with_care(ANTENNA),
        Action::step(
            Acts::Installer,
            "Compare carriers and bands at the spot before mounting anything.",
        )
        .reading(&["AT+CESQ"]),
    ],
    explains: super::level::NOT_FOUND,
    explains_too: &[Consequence::Rule(&super::poor_quality::RULE)],
    page: include_str!("weak.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let Some((level, evidence)) = super::level::strength(site) else { return Judgement::Open };
    let Some(certainty) = super::level::certainty(level) else {
        return Judgement::RuledOut(evidence);
    };
    if let Some(online) = site.online() {
        // A connection that was lost meanwhile does not hold at this level.
        return match lost_meanwhile(site) {
            Some(lost) => holds(
                Certainty::Likely,
                "The signal is very weak here, and the registration was lost meanwhile.",
                vec![evidence, lost, online],
            ),
            None => Judgement::RuledOut(online),
        };
    }
    if held_back(site) {
        return Judgement::Open;
    }
    // Both qualities beside it say the same, so that it is no dip either.
    let lasting = super::level::stays_low(site) || super::level::qualities_agree(site);
    let certainty = if lasting { Certainty::Likely } else { certainty };
    holds(certainty, "The signal is very weak here.", vec![evidence])
}

/// A loss of the registration, or of normal service, between two times at which the modem had it.
fn lost_meanwhile(site: &Site<'_>) -> Option<Evidence> {
    fn between<T>(all: &[Observation<T>], good: impl Fn(&T) -> bool) -> Option<&Observation<T>> {
        let first = all.iter().position(|o| good(&o.value))?;
        let last = all.iter().rposition(|o| good(&o.value))?;
        all[first..last].iter().find(|o| !good(&o.value))
    }
    let mut states = site.registration.states.values();
    let state = states.find_map(|h| between(h.all(), Registration::is_registered));
    state.map(|o| o.says("the registration was lost")).or_else(|| {
        let service = site.registration.service.all();
        Some(between(service, |s| *s == Service::Normal)?.says("no service in between"))
    })
}
