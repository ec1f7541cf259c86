#![doc = include_str!("detached.md")]

use crate::case::{Evidence, Failure, Observation};
use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, Layer, RegistrationStatus, Rule, Site,
    bearer_up, circuit_registered, data_registered, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/detached",
    asks: "Is the modem on the network but not attached for data?",
    settled_by: &[&reads::ATTACHED, &reads::EPS_STATE, &reads::PACKET_STATE, &reads::CIRCUIT_STATE],
    commonness: 2,
    follow_up: &[
        &reads::ATTACHED,
        &reads::LAST_FAILURE,
        &reads::PACKET_STATE,
        &reads::EPS_STATE,
        &reads::CONTEXTS,
    ],
    question: Some("Does the contract include data, and was all of its volume or credit used?"),
    is_state: |_| true,
    clause: "TS 27.007 §10.1.9",
    acts: Acts::Installer,
    actions: &[
        Action::step(Acts::Installer, "Attach for packet data and wait a minute.")
            .changing(&["AT+CGATT=1"]),
        Action::step(
            Acts::AccountHolder,
            "If it is refused, ask the carrier whether the card has packet data.",
        ),
    ],
    explains: &[Consequence::Layer(Layer::Bearer), Consequence::Layer(Layer::Path)],
    page: include_str!("detached.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let registered_at =
        site.registration.states.values().filter_map(|h| h.latest()).map(|o| o.order).max();
    if let Some(o) = site
        .sessions
        .released
        .latest()
        .filter(|o| o.value && registered_at.is_none_or(|r| o.order > r))
    {
        return holds(
            Certainty::Likely,
            "The network sent the modem away, and it has not come back in the text.",
            vec![o.says("detached by the network")],
        );
    }
    if let Some(evidence) = data_registered(site) {
        return Judgement::RuledOut(evidence);
    }
    let Some(o) = site.registration.attached.latest() else {
        return bearer_up(site).map_or(Judgement::Open, Judgement::RuledOut);
    };
    if o.value {
        return Judgement::RuledOut(o.says("attached to the packet service"));
    }
    match (site.registration_status(), circuit_registered(site)) {
        (_, Some(circuit))
            if !matches!(
                site.registration_status(),
                Some((RegistrationStatus::Denied | RegistrationStatus::Searching, _))
            ) =>
        {
            holds(
                Certainty::Likely,
                "The modem is on the network for voice and messages, but not attached for data.",
                vec![circuit, o.says("not attached to the packet service")],
            )
        }
        (None, None) => match (site.dialogue.last_set("+CGATT"), refused(site)) {
            (Some((_, false)), Some(failed)) => holds(
                Certainty::Likely,
                "The modem is not attached for data, and attaching is refused.",
                vec![failed, o.says("not attached to the packet service")],
            ),
            _ => Judgement::Open,
        },
        _ => Judgement::Open,
    }
}

/// The attach that ended in an error.
fn refused(site: &Site<'_>) -> Option<Evidence> {
    let failures = site.exchanges.failures.current().iter().rev();
    let attach = |o: &&Observation<Failure>| o.value.command.eq_ignore_ascii_case("+CGATT=1");
    failures.clone().find(attach).map(|o| o.says("the attach ended in an error"))
}
