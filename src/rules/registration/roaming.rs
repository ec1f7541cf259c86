#![doc = include_str!("roaming.md")]

use crate::case::{Cell, Quantity};
use crate::case::{Reading, Value};
use crate::rules::{
    Action, Acts, Certainty, Judgement, RegistrationStatus, Rule, Site, bearer_up, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/roaming",
    asks: "Is roaming refused?",
    follow_up: super::refusal::WHERE,
    settled_by: &[
        &reads::REASON,
        &reads::REASON_5G,
        &reads::LAST_FAILURE,
        &reads::CHOICE,
        &reads::IDENTITY,
    ],
    commonness: 3,
    question: Some("Which country is the device in, and does the contract include roaming there?"),
    clause: "TS 24.301 §9.9.3.9 (13); TS 24.008 §10.5.5.14",
    acts: Acts::AccountHolder,
    actions: &[
        Action::step(
            Acts::AccountHolder,
            "Ask the carrier whether the card may roam with packet data in this country and with which partners.",
        ),
        Action::step(
            Acts::Installer,
            "The device's own settings forbid roaming: allow it there, where the contract includes it in this country.",
        )
        .unless(|site| !is_forbidden(site)),
        Action::step(
            Acts::Installer,
            "Choose automatic network selection, or a partner that the carrier names.",
        )
        .changing(&["AT+COPS=0"])
        .unless(is_forbidden),
    ],
    page: include_str!("roaming.md"),
    judge,
    ..super::refusal::BLANK
};

/// Whether the device's own settings forbid roaming.
fn is_forbidden(site: &Site<'_>) -> bool {
    site.registration.roaming_allowed.latest().is_some_and(|o| !o.value)
}

fn judge(site: &Site<'_>) -> Judgement {
    let refused = super::refusal::refused(
        site,
        |list, cause| !list.is_session() && matches!(cause, 13 | 80),
        "The network refuses this SIM as a guest: roaming is not allowed.",
    );
    if !matches!(refused, Judgement::Open) {
        return refused;
    }
    if let Some(judgement) = switched_off(site).or_else(|| no_home_network(site)) {
        return judgement;
    }
    let (Some((stands, kept_out)), Some(imsi)) =
        (site.registration_status(), site.card.imsi.latest())
    else {
        return Judgement::Open;
    };
    if !matches!(
        stands,
        RegistrationStatus::Denied | RegistrationStatus::Searching | RegistrationStatus::Emergency
    ) {
        return Judgement::Open;
    }
    let heard = site.radio.readings.current().iter().rev().find_map(|o| match &o.value {
        Reading { quantity: Quantity::Mcc, value: Value::Word(mcc), cell: Cell::Serving } => {
            Some((mcc, o))
        }
        _ => None,
    });
    let Some((mcc, o)) = heard else { return Judgement::Open };
    if let Some(carrier) = site.carrier.filter(|c| {
        c.roaming.allowed == Some(false) && !c.networks.iter().any(|n| n.starts_with(mcc.as_str()))
    }) {
        return holds(
            Certainty::Likely,
            format!(
                "{} does not let its cards roam, and this is another country's network.",
                carrier.name
            ),
            vec![kept_out, o.says("a network of another country")],
        );
    }
    if imsi.value.starts_with(mcc.as_str()) {
        return Judgement::RuledOut(o.says("a network of the card's own country"));
    }
    holds(
        Certainty::Possible,
        "The card is abroad and is not taken: perhaps it may not roam here.",
        vec![
            kept_out,
            o.says("a network of another country"),
            imsi.says("the IMSI begins with the card's own country"),
        ],
    )
}

/// The host's own settings keep the modem from data as a guest: it is one, and no session is open.
fn switched_off(site: &Site<'_>) -> Option<Judgement> {
    const ROAMING: [u8; 2] = [5, 10];
    let setting = site.registration.roaming_allowed.latest().filter(|o| !o.value)?;
    let setting = setting.says("data while roaming are switched off");
    let reported = site.registration.reported.latest().filter(|o| ROAMING.contains(&o.value));
    let guest = site
        .registration
        .states
        .values()
        .filter_map(|h| h.latest())
        .find(|o| ROAMING.contains(&o.value.stat))
        .map(|o| o.says("registered as a guest"))
        .or_else(|| reported.map(|o| o.says("registered as a guest")))?;
    if let Some(evidence) = bearer_up(site) {
        return Some(Judgement::RuledOut(evidence));
    }
    Some(holds(
        Certainty::Likely,
        "The modem is a guest on its network, and its settings keep it from data while roaming.",
        vec![guest, setting],
    ))
}

/// The settings keep the modem from networks other than the home network, which is not among those that a search found.
fn no_home_network(site: &Site<'_>) -> Option<Judgement> {
    let setting = site.registration.roaming_allowed.latest().filter(|o| !o.value)?;
    let imsi = site.card.imsi.latest()?;
    let scan = site.registration.scans.latest().filter(|o| !o.value.is_empty())?;
    let (status, evidence) = site.registration_status()?;
    let home = scan.value.iter().any(|network| imsi.value.starts_with(network.plmn.as_str()));
    let kept_out = matches!(
        status,
        RegistrationStatus::Idle | RegistrationStatus::Searching | RegistrationStatus::Denied
    );
    (kept_out && !home).then(|| {
        holds(
            Certainty::Likely,
            "The settings forbid roaming, and the home network is not among those that are heard.",
            vec![
                setting.says("roaming is switched off"),
                scan.says("the networks that are heard"),
                imsi.says("the card's home network opens the IMSI"),
                evidence,
            ],
        )
    })
}
