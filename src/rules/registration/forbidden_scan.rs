#![doc = include_str!("forbidden_scan.md")]

use crate::rules::{Action, Acts, Certainty, Judgement, Rule, Site, holds, reads};

/// The marks of networks in a search (TS 27.007 §7.3).
const FORBIDDEN: u8 = 3;

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/forbidden-scan",
    kind_of: Some(&super::network::RULE),
    asks: "Is every network that is heard forbidden to this card?",
    follow_up: &[&reads::REASON, &reads::FORBIDDEN, &reads::IDENTITY],
    settled_by: &[&reads::SEARCH, &reads::FORBIDDEN],
    question: Some("Which country is the device in, and which carrier issued the card?"),
    clause: "TS 27.007 §7.3 (+COPS=?, stat 3); TS 23.122 §3.1",
    acts: Acts::Carrier,
    actions: &[
        Action::step(
            Acts::Installer,
            "Search again from a place with a better view, or with all bands and technologies allowed: the card's own network may not have been heard.",
        )
        .reading(&["AT+COPS=?"]),
        Action::step(
            Acts::AccountHolder,
            "Ask the carrier which networks the card may use at this place.",
        ),
        Action::step(Acts::Carrier, "Check the roaming agreements of this card for the networks that are heard."),
    ],
    page: include_str!("forbidden_scan.md"),
    judge,
    ..super::refusal::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    let Some(scan) = site.registration.scans.latest().filter(|o| !o.value.is_empty()) else {
        return Judgement::Open;
    };
    match scan.value.iter().find(|network| network.stat != FORBIDDEN) {
        Some(_) => Judgement::RuledOut(scan.says("a network that is not forbidden is heard")),
        None => holds(
            Certainty::Likely,
            "Every network that is heard is forbidden to this card.",
            vec![scan.says(match scan.value.len() {
                1 => "the only network that is heard is marked 3, forbidden".to_owned(),
                n => format!("all {n} networks that are heard are marked 3, forbidden"),
            })],
        ),
    }
}
