#![doc = include_str!("weak.md")]

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
        return Judgement::RuledOut(online);
    }
    if held_back(site) {
        return Judgement::Open;
    }
    let lasting = super::level::stays_low(site);
    let certainty = if lasting { Certainty::Likely } else { certainty };
    holds(certainty, "The signal is very weak here.", vec![evidence])
}
