#![doc = include_str!("wrong_context.md")]

use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, Layer, Rule, Site, bearer_up, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "bearer/wrong-context",
    asks: "Does the session run on another context than the one in use?",
    settled_by: &[&reads::SESSIONS, &reads::CONTEXTS],
    commonness: 3,
    beside_connection: true,
    follow_up: super::session::FOLLOW_UP,
    question: Some("Which context number does the program dial or open?"),
    clause: "TS 27.007 §10.1.1, §10.1.10",
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "Let the program use the context that has the address, or write the access \
             point name on the context that it uses.",
    )
    .reading(&["AT+CGDCONT?", "AT+CGPADDR"])],
    explains: &[
        Consequence::Layer(Layer::Path),
        Consequence::Rule(&super::inactive::RULE),
        Consequence::Rule(&super::apn_mismatch::RULE),
        Consequence::Rule(&crate::rules::registration::attach_bearer::RULE),
        Consequence::Rule(&crate::rules::registration::denied::RULE),
        Consequence::Rule(&crate::rules::registration::searching::RULE),
        Consequence::Rule(&crate::rules::registration::idle::RULE),
    ],
    page: include_str!("wrong_context.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(elsewhere) = right_name_elsewhere(site) {
        return elsewhere;
    }
    let latest: Vec<_> = site
        .sessions
        .addresses
        .iter()
        .filter_map(|(cid, h)| h.latest().map(|o| (*cid, o)))
        .collect();
    let Some(first) = latest.iter().find(|(cid, _)| *cid == 1) else { return Judgement::Open };
    if !first.1.value.is_empty() {
        return Judgement::RuledOut(first.1.says("context 1 has the address"));
    }
    let Some((cid, other)) = latest.iter().find(|(cid, o)| *cid != 1 && !o.value.is_empty()) else {
        return Judgement::Open;
    };
    let failed = site
        .exchanges
        .failures
        .all()
        .iter()
        .rev()
        .find(|o| o.order > other.order.min(first.1.order));
    let mut evidence = vec![
        other.says(format!("the address is on context {cid}")),
        first.1.says("context 1 has none"),
    ];
    let certainty = match failed {
        Some(o) => {
            evidence.push(o.says("what was tried then failed"));
            Certainty::Likely
        }
        None => Certainty::Possible,
    };
    holds(
        certainty,
        format!("The data session runs on context {cid}, while context 1 has no address."),
        evidence,
    )
}

/// The carrier's name on a context that the attach does not use.
fn right_name_elsewhere(site: &Site<'_>) -> Option<Judgement> {
    if bearer_up(site).is_some() {
        return None;
    }
    let attach = super::session::attach_context(site)?;
    let wanted = site.data_access_points();
    let is_wanted = |apn: &str| {
        wanted.iter().any(|a| !a.name.is_empty() && a.name.eq_ignore_ascii_case(apn.trim()))
    };
    if is_wanted(&attach.value.apn) {
        return None;
    }
    let other = site
        .case
        .sessions
        .contexts
        .values()
        .filter_map(|h| h.latest())
        .find(|o| is_wanted(&o.value.apn))?;
    Some(holds(
        Certainty::Likely,
        format!(
            "The right access point name is set on context {}, and the attach uses context {}.",
            other.value.cid, attach.value.cid
        ),
        vec![other.says("the carrier's name"), attach.says("the context that the attach uses")],
    ))
}
