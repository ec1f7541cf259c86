#![doc = include_str!("inactive.md")]

use crate::rules::registration_status::opening_failed;
use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, Layer, Rule, Site, bearer_up, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "bearer/inactive",
    asks: "Is a context active?",
    settled_by: &[&reads::SESSIONS],
    commonness: 6,
    follow_up: super::FOLLOW_UP,
    clause: "TS 27.007 §10.1.10",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Activate the context that carries the right name, and read its address.",
        )
        .changing(&["AT+CGACT=1,1"]),
        Action::step(Acts::Installer, "If that fails, read the reason at once.")
            .reading(&["AT+CEER"]),
    ],
    explains: &[Consequence::Layer(Layer::Path)],
    page: include_str!("inactive.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = bearer_up(site) {
        return Judgement::RuledOut(evidence);
    }
    let states: Vec<_> =
        site.sessions.active.iter().filter_map(|(cid, h)| h.latest().map(|o| (*cid, o))).collect();
    let Some(first) = states.first() else { return failed(site) };
    match site.online() {
        Some(evidence) => holds(
            Certainty::Likely,
            "The modem is on the network, but no data session is open.",
            vec![
                evidence,
                first.1.says(format!("context {} is not active, nor is any other", first.0)),
            ],
        ),
        None => Judgement::Open,
    }
}

/// On the network, and the last attempt to open a session ended badly without a reason.
fn failed(site: &Site<'_>) -> Judgement {
    match (opening_failed(site), site.online()) {
        (Some(failure), Some(evidence)) => holds(
            Certainty::Likely,
            "The modem is on the network, and opening a data session fails.",
            vec![evidence, failure],
        ),
        _ => Judgement::Open,
    }
}
