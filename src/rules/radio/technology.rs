#![doc = include_str!("technology.md")]

use crate::case::{Observation, Rat};
use crate::reference::causes::CauseList;
use crate::rules::registration_status::held_back;
use crate::rules::{
    Action, Acts, Certainty, Check, Consequence, Judgement, RegistrationStatus, Rule, Site,
    VendorRead, covers_only, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "radio/technology",
    asks: "Do the settings exclude the radio technology that is needed?",
    settled_by: &[&reads::TECHNOLOGY, &reads::SEARCH],
    vendor_read: Some(VendorRead::Technology),
    amendment: Some("technology"),
    commonness: 5,
    check: Some(Check::Settings),
    question: Some(
        "Which technologies does the carrier run at this place, and does the contract include them (LTE-M and NB-IoT apart)?",
    ),
    clause: "TS 27.007 §5.9 (+WS46)",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Allow every technology that the modem has, then let it search again; a first search over LTE-M or NB-IoT can take half an hour.",
        ),
        Action::step(
            Acts::Carrier,
            "Ask which technologies the carrier runs at this place and which the SIM's contract includes.",
        ),
    ],
    explains: super::level::NOT_FOUND,
    explains_too: &[Consequence::Rule(&super::no_signal::RULE)],
    page: include_str!("technology.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let Some(o) = allowed(site) else { return Judgement::Open };
    if let Some(online) = site.online() {
        return Judgement::RuledOut(online);
    }
    if o.value.is_empty() {
        return holds(
            Certainty::Likely,
            "The settings allow no technology of a mobile network.",
            vec![o.says("no technology allowed")],
        );
    }
    let offered = site.carrier.map(|c| c.bands.technologies()).unwrap_or_default();
    if !offered.is_empty() && !o.value.is_empty() {
        // LTE and LTE-M are one setting on many modems, so that either counts for the other.
        let alike = |a: Rat, b: Rat| {
            a == b || matches!((a, b), (Rat::Lte, Rat::LteM) | (Rat::LteM, Rat::Lte))
        };
        let names = |list: &[Rat]| list.iter().map(|r| r.name()).collect::<Vec<_>>().join(", ");
        return if o.value.iter().any(|a| offered.iter().any(|b| alike(*a, *b))) {
            Judgement::RuledOut(o.says("a technology that the carrier offers is allowed"))
        } else {
            holds(
                Certainty::Likely,
                format!(
                    "The settings allow {}, and the carrier offers {}.",
                    names(&o.value),
                    names(&offered)
                ),
                vec![o.says(format!("{} allowed", names(&o.value)))],
            )
        };
    }
    // The network refuses this card its 5G core (TS 24.501 annex A: causes 7 and 27), and nothing else may be used.
    let refused = site
        .registration
        .rejects
        .latest()
        .filter(|o| o.value.kind == CauseList::FiveGmm && matches!(o.value.cause, 7 | 27));
    if let (Some(refused), [Rat::Nr]) = (refused, &o.value[..]) {
        return holds(
            Certainty::Likely,
            "The settings allow 5G alone, and the network does not let this card use it.",
            vec![o.says("5G NR alone is allowed"), refused.says("5G refused by the network")],
        );
    }
    if let Some(heard) = site.radio.heard_technologies.latest()
        && !heard.value.is_empty()
        && !o.value.is_empty()
        && !held_back(site)
    {
        if heard.value.iter().any(|rat| o.value.contains(rat)) {
            return Judgement::RuledOut(o.says("a technology that is heard here is allowed"));
        }
        let names = |list: &[Rat]| list.iter().map(|r| r.name()).collect::<Vec<_>>().join(", ");
        return holds(
            Certainty::Likely,
            format!(
                "The settings allow {}, and {} is heard here.",
                names(&o.value),
                names(&heard.value)
            ),
            vec![
                o.says(format!("{} allowed", names(&o.value))),
                heard.says(format!("{} heard", names(&heard.value))),
            ],
        );
    }
    if o.value.len() > 1 {
        return Judgement::RuledOut(o.says("more than one technology is allowed"));
    }
    let Some(only) = o.value.first() else { return Judgement::Open };
    // Whoever names the bands of the place by their LTE numbers names LTE with them.
    let lte = matches!(only, Rat::Lte | Rat::LteM | Rat::NbIot);
    if let Some((_, Some(told))) = super::level::wanted(site, Rat::Lte).filter(|_| lte) {
        return Judgement::RuledOut(told);
    }
    if held_back(site)
        || !matches!(
            site.registration_status(),
            Some((
                RegistrationStatus::Idle
                    | RegistrationStatus::Searching
                    | RegistrationStatus::Unknown,
                _
            ))
        )
    {
        return Judgement::Open;
    }
    if covers_only(site.case).is_some() {
        return Judgement::Open;
    }
    holds(
        if is_rare(*only) && super::level::heard(site).is_none() {
            Certainty::Likely
        } else {
            Certainty::Possible
        },
        format!("The settings allow {} alone, and nothing is found.", only.name()),
        vec![o.says(format!("{} alone is allowed", only.name()))],
    )
}

/// The technologies that the settings allow: where one setting says LTE and another which narrow kind of it, the other.
fn allowed<'s>(site: &'s Site<'_>) -> Option<&'s Observation<Vec<Rat>>> {
    let settings = &site.radio.allowed;
    let latest = settings.latest()?;
    let narrow = |o: &&Observation<Vec<Rat>>| {
        !o.value.is_empty() && o.value.iter().all(|rat| matches!(rat, Rat::LteM | Rat::NbIot))
    };
    let narrower =
        settings.current().iter().rev().find(narrow).filter(|_| latest.value == [Rat::Lte]);
    Some(narrower.unwrap_or(latest))
}

/// Whether a technology is missing at many places: switched off, or built for some only. Common practice, no source.
const fn is_rare(technology: Rat) -> bool {
    matches!(technology, Rat::Gsm | Rat::Utra | Rat::NbIot | Rat::Nr)
}
