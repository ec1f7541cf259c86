#![doc = include_str!("band_missing.md")]

use crate::rules::{
    Action, Acts, Certainty, Check, Consequence, Judgement, Rule, Site, VendorRead, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "radio/band-missing",
    asks: "Does the modem have any band that the network uses here?",
    settled_by: &[&reads::MODEL, &reads::BANDS, &reads::TECHNOLOGY],
    vendor_read: Some(VendorRead::Bands),
    check: Some(Check::Settings),
    question: Some("Which region is the modem's variant made for?"),
    clause: "TS 36.101 table 5.5-1",
    acts: Acts::Maker,
    actions: &[
        Action::step(
            Acts::Maker,
            "Order the variant of the modem for this region, or a modem with the bands of the carrier.",
        ),
        Action::step(Acts::Installer, "Or use a carrier whose bands this modem has."),
    ],
    explains: super::level::NOT_FOUND,
    explains_too: &[Consequence::Rule(&super::no_signal::RULE)],
    page: include_str!("band_missing.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(online) = site.online() {
        return Judgement::RuledOut(online);
    }
    let Some(carrier) = site.carrier else { return against_told(site) };
    let mut missing = Vec::new();
    let mut says = Vec::new();
    for rat in carrier.bands.technologies() {
        let wanted = carrier.bands.of(rat);
        // What the modem says of one technology only tells nothing of the others.
        let Some((_, supported, evidence)) =
            super::level::bands_of(&site.radio.supported_bands, rat)
        else {
            return Judgement::Open;
        };
        if supported.iter().any(|b| super::level::reaches(rat, *b, wanted)) {
            return Judgement::RuledOut(evidence);
        }
        says.push(format!(
            "{} {}",
            rat.name(),
            wanted.iter().map(u16::to_string).collect::<Vec<_>>().join(", ")
        ));
        missing.push(evidence);
    }
    if missing.is_empty() {
        return Judgement::Open;
    }
    holds(
        Certainty::Likely,
        format!(
            "The modem has none of the bands that {} uses ({}).",
            carrier.name,
            says.join("; ")
        ),
        missing,
    )
}

/// The modem's bands held against those that a person tells.
fn against_told(site: &Site<'_>) -> Judgement {
    let Some((rat, supported, evidence)) = super::level::bands(&site.radio.supported_bands) else {
        return Judgement::Open;
    };
    let Some((wanted, told)) = super::level::wanted(site, rat) else { return Judgement::Open };
    if supported.iter().any(|b| super::level::reaches(rat, *b, &wanted)) {
        return Judgement::RuledOut(evidence);
    }
    let list = wanted.iter().map(u16::to_string).collect::<Vec<_>>().join(", ");
    holds(
        Certainty::Likely,
        format!("The modem has none of the {} bands that are used here ({list}).", rat.name()),
        std::iter::once(evidence).chain(told).collect(),
    )
}
