#![doc = include_str!("band_off.md")]

use crate::case::Evidence;
use crate::case::Rat;
use crate::rules::registration_status::held_back;
use crate::rules::{
    Action, Acts, Certainty, Check, Consequence, Judgement, RegistrationStatus, Rule, Site,
    VendorRead, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "radio/band-off",
    asks: "Is a band that the network uses switched off in the modem?",
    settled_by: &[&reads::BANDS, &reads::TECHNOLOGY, &reads::SEARCH],
    vendor_read: Some(VendorRead::Bands),
    amendment: Some("band NUMBER"),
    commonness: 3,
    check: Some(Check::Settings),
    question: Some(
        "Were the bands set by hand, and which bands does the carrier use at this place?",
    ),
    clause: "TS 36.101 table 5.5-1",
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "Switch all supported bands on, or at least those that the carrier uses here.",
    )],
    explains: super::level::NOT_FOUND,
    explains_too: &[
        Consequence::Rule(&super::no_signal::RULE),
        Consequence::Rule(&super::weak::RULE),
    ],
    page: include_str!("band_off.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let Some((rat, enabled, evidence)) = super::level::bands(&site.radio.enabled_bands) else {
        return Judgement::Open;
    };
    if let Some(online) = site.online() {
        return Judgement::RuledOut(online);
    }
    if matches!(site.registration_status(), Some((RegistrationStatus::Denied, _)))
        || held_back(site)
    {
        return Judgement::Open;
    }
    let supported = super::level::bands_of(&site.radio.supported_bands, rat);
    if let Some((wanted, told)) = super::level::wanted(site, rat) {
        return against_wanted(rat, &wanted, told, &enabled, supported, evidence);
    }
    let Some((_, supported, supports)) = supported else { return Judgement::Open };
    if supported.iter().all(|b| enabled.contains(b)) {
        return Judgement::RuledOut(evidence);
    }
    let few = enabled.len() <= supported.len() / 3;
    if !few {
        return Judgement::Open;
    }
    holds(
        Certainty::Possible,
        format!(
            "Only {} of the modem's {} {} bands are switched on.",
            enabled.len(),
            supported.len(),
            rat.name()
        ),
        vec![supports, evidence],
    )
}

/// The switched-on bands held against those that the carrier uses.
fn against_wanted(
    rat: Rat,
    wanted: &[u16],
    told: Option<Evidence>,
    enabled: &[u16],
    supported: Option<super::level::Bands>,
    evidence: Evidence,
) -> Judgement {
    if let Some(band) = enabled.iter().find(|b| super::level::reaches(rat, **b, wanted)) {
        let says =
            format!("band {band} is on, and the carrier uses it or one on the same frequencies");
        return Judgement::RuledOut(Evidence { says: says.into(), ..evidence });
    }
    let list = |bands: &[u16]| bands.iter().map(u16::to_string).collect::<Vec<_>>().join(", ");
    let has: Vec<u16> = match &supported {
        Some((_, supported, _)) => {
            wanted.iter().copied().filter(|b| supported.contains(b)).collect()
        }
        None => wanted.to_vec(),
    };
    if has.is_empty() {
        return Judgement::Open;
    }
    let could = if supported.is_some() {
        format!("the modem could use {}", list(&has))
    } else {
        "whether the modem has them is not in the text".into()
    };
    let mut lines = vec![evidence];
    lines.extend(supported.map(|s| s.2));
    lines.extend(told);
    holds(
        Certainty::Likely,
        format!(
            "No {} band that the carrier uses ({}) is switched on; {could}.",
            rat.name(),
            list(wanted)
        ),
        lines,
    )
}
