#![doc = include_str!("voice_centric.md")]

use crate::case::Domain;
use crate::case::Evidence;
use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, Layer, RegistrationStatus, Rule, Site, holds,
    reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/voice-centric",
    asks: "Does the usage setting make the modem leave the data network?",
    settled_by: &[&reads::USAGE],
    amendment: Some("usage"),
    beside_connection: true,
    question: Some("Does the site need voice, or messages over the circuit domain?"),
    clause: "TS 27.007 §10.1.28; TS 24.301 §4.3",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Set the modem to packet data alone (PS mode 2), if the site needs no voice and no messages over the circuit domain.",
        )
        .changing(&["AT+CEMODE=0"]),
        Action::step(
            Acts::Installer,
            "If it needs messages over the circuit domain, set it to data-centric with both domains (CS/PS mode 2).",
        )
        .changing(&["AT+CEMODE=2"]),
    ],
    explains: &[
        Consequence::Rule(&super::searching::RULE),
        Consequence::Rule(&super::idle::RULE),
        Consequence::Layer(Layer::Bearer),
        Consequence::Layer(Layer::Path),
    ],
    page: include_str!("voice_centric.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let voice_first = site.registration.usage_mode.latest().filter(|o| matches!(o.value, 1 | 3));
    if let (Some(o), Some(evidence)) = (voice_first, leaves(site)) {
        return holds(
            Certainty::Likely,
            "The modem is voice-centric, and leaves the network again and again because it offers no voice service.",
            vec![o.says("voice-centric"), evidence],
        );
    }
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    let shown = no_voice(site);
    let Some(o) = site.registration.usage_mode.latest() else {
        return match named(site) {
            Some(evidence) => holds(
                Certainty::Likely,
                "The network has no circuit service for this SIM, and the modem does not stay for data alone.",
                vec![evidence],
            ),
            None => Judgement::Open,
        };
    };
    match o.value {
        1 | 3 => {
            let certainty = shown.as_ref().map_or(Certainty::Possible, |_| Certainty::Likely);
            holds(
                certainty,
                "The modem is voice-centric, and leaves a network that offers it no voice service.",
                std::iter::once(o.says("voice-centric")).chain(shown).collect(),
            )
        }
        _ => Judgement::RuledOut(o.says("data-centric")),
    }
}

/// A registration for data that ended by itself while voice is refused.
fn leaves(site: &Site<'_>) -> Option<Evidence> {
    let circuit = site.stat(Domain::Circuit)?;
    (circuit.value.status() == RegistrationStatus::Denied).then_some(())?;
    let states = site.registration.states.of(Domain::Eps).current();
    let left = states.windows(2).rev().find(|pair| {
        let [before, after] = pair else { return false };
        before.value.status() == RegistrationStatus::Registered
            && matches!(
                after.value.status(),
                RegistrationStatus::Unknown | RegistrationStatus::Idle
            )
    })?;
    Some(left[1].says("left the data network, and voice is refused"))
}

/// Cause 18 (TS 24.301 §9.9.3.9): the network has no circuit service for this subscription.
fn named(site: &Site<'_>) -> Option<Evidence> {
    let latest = super::refusal::latest_reject(site).filter(|o| o.value.cause == 18)?;
    Some(latest.says("cause 18, circuit domain not available: the packet service is not refused"))
}

/// What shows that the network gives the modem no voice service: it says so (cause 18, TS 24.301
/// §9.9.3.9), or it refuses the circuit domain while the modem does not even try the packet domain.
fn no_voice(site: &Site<'_>) -> Option<Evidence> {
    if let Some(evidence) = named(site) {
        return Some(evidence);
    }
    site.stat(Domain::Eps)
        .filter(|o| RegistrationStatus::of(o.value.stat) == RegistrationStatus::Idle)?;
    let circuit = site.stat(Domain::Circuit)?;
    (RegistrationStatus::of(circuit.value.stat) == RegistrationStatus::Denied)
        .then(|| circuit.says("voice is refused, and no data is tried"))
}
