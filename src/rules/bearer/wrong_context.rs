#![doc = include_str!("wrong_context.md")]

use super::apn_mismatch::is_placeholder;
use crate::case::{ContextDefinition, Observation};
use crate::rules::registration_status::asked_for;
use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, Rule, Site, bearer_up, holds, opening_failed,
    reads,
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
    explains: super::consequences::AFTER_REFUSAL,
    explains_too: &[
        Consequence::Rule(&super::apn_blank::RULE),
        Consequence::Rule(&super::apn_mismatch::RULE),
        Consequence::Rule(&super::apn_unknown::RULE),
        Consequence::Rule(&super::not_subscribed::RULE),
    ],
    page: include_str!("wrong_context.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let elsewhere = right_name_elsewhere(site).or_else(|| undefined(site));
    if let Some(judgement) = elsewhere.or_else(|| only_name_elsewhere(site)) {
        return judgement;
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
    let for_data = |cid: u8| cid != 1 && site.is_for_data(cid);
    let other = latest.iter().find(|(cid, o)| for_data(*cid) && !o.value.is_empty());
    let Some((cid, other)) = other else { return Judgement::Open };
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

/// A session was asked for on a context that is not defined, while a name stands on another.
fn undefined(site: &Site<'_>) -> Option<Judgement> {
    if bearer_up(site).is_some() {
        return None;
    }
    let failed = opening_failed(site)
        .or_else(|| Some(site.sessions.no_carrier.latest()?.says("the dial command ended here")))?;
    let cid = asked_for(site)?;
    let named = |o: &Observation<ContextDefinition>| {
        !o.value.apn.trim().is_empty() && !o.value.is_for_other_use()
    };
    let contexts = &site.case.sessions.contexts;
    let defined = || {
        // The list of active contexts names every one that is defined (TS 27.007 §10.1.10).
        let set = format!("+CGDCONT={cid},");
        site.sessions.active.get(&cid).is_some()
            || site.dialogue.commands().any(|c| c.starts_with(&set))
    };
    let has_name = contexts.get(&cid).and_then(|h| h.latest()).map_or_else(defined, named);
    if has_name {
        return None;
    }
    let other = contexts.values().filter_map(|h| h.latest()).find(|o| named(o))?;
    Some(holds(
        Certainty::Likely,
        format!(
            "The session is opened on context {cid}, which has no access point name; one is set on context {}.",
            other.value.cid
        ),
        vec![failed, other.says(format!("the name is set on context {}", other.value.cid))],
    ))
}

/// The only name that was set stands on a context that carries no session, the one in use has none, and something fails.
fn only_name_elsewhere(site: &Site<'_>) -> Option<Judgement> {
    let case = site.case;
    let active =
        |cid: u8| case.sessions.active.get(&cid).and_then(|h| h.latest()).is_some_and(|o| o.value);
    let attach = super::session::attach_context(site)?;
    let unset = |name: &str| name.trim().is_empty() || is_placeholder(name);
    if !unset(&attach.value.apn) {
        return None;
    }
    let stored = case.sessions.contexts.values().filter_map(|h| h.latest());
    let mut named = stored.filter(|o| !unset(&o.value.apn) && !o.value.is_for_other_use());
    let (other, None) = (named.next()?, named.next()) else { return None };
    let address = case.sessions.addresses.get(&other.value.cid).and_then(|h| h.latest());
    if active(other.value.cid) || address.is_some_and(|o| !o.value.is_empty()) {
        return None;
    }
    let failing = super::session::session_reject(site)
        .map(|o| o.says("the session was refused"))
        .or_else(|| opening_failed(site))
        .or_else(|| Some(case.path.traffic.latest().filter(|o| !o.value)?.says("nothing passes")))
        .or_else(|| {
            let resolved = case.path.name_resolved.latest().filter(|o| !o.value)?;
            Some(resolved.says("the name was not resolved"))
        })
        .or_else(|| {
            Some(
                case.sessions.released.latest().filter(|o| !o.value)?.says("closed by the network"),
            )
        })?;
    Some(holds(
        Certainty::Likely,
        format!(
            "The access point name is set on context {}, and the attach uses context {}, which has none.",
            other.value.cid, attach.value.cid
        ),
        vec![
            other.says("the only name that is set"),
            attach.says("the context that the attach uses"),
            failing,
        ],
    ))
}
