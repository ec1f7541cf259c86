#![doc = include_str!("apn_blank.md")]

use crate::case::Evidence;
use crate::rules::registration_status::{refusal, session_lost};
use crate::rules::{
    Acts, Certainty, Consequence, Judgement, Rule, Site, bearer_up, holds, opening_failed, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "bearer/apn-blank",
    asks: "Is an access point name missing where one is needed?",
    settled_by: &[&reads::CONTEXTS],
    amendment: Some("access-point NAME"),
    follow_up: super::session::FOLLOW_UP,
    question: Some(super::session::WHICH_NAME),
    clause: "TS 27.007 §10.1.1; TS 23.003 §9",
    acts: Acts::Installer,
    actions: &[super::session::ASK_FOR_THE_NAME, super::session::WRITE_THE_NAME],
    explains: super::consequences::AFTER_REFUSAL,
    explains_too: &[
        Consequence::Rule(&super::apn_unknown::RULE),
        Consequence::Rule(&super::not_subscribed::RULE),
    ],
    page: include_str!("apn_blank.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = bearer_up(site) {
        return Judgement::RuledOut(evidence);
    }
    let Some(context) = super::session::attach_context(site) else { return no_context(site) };
    if !context.value.apn.trim().is_empty() {
        return Judgement::RuledOut(context.says("the context has an access point name"));
    }
    let meant = site.sessions.intended_names.latest().filter(|o| !o.value.is_empty());
    if let (Some(meant), Some(failed)) = (meant, failing(site)) {
        return holds(
            Certainty::Likely,
            format!("No access point name is set, and `{}` is the one that is meant.", meant.value),
            vec![
                context.says("no name on the context that the attach uses"),
                meant.says("the name that is meant"),
                failed,
            ],
        );
    }
    // Without a name the network takes the subscription's own, and refuses where there is none (TS 23.060 annex A.2).
    let wants_one = |cause| matches!(cause, 27 | 33);
    match super::session::session_reject(site).filter(|o| wants_one(o.value.cause)) {
        Some(o) => holds(
            Certainty::Likely,
            "No access point name is set, and the network wants one.",
            vec![
                context.says("no name on the context that the attach uses"),
                o.says(match o.value.cause {
                    27 => "access point name missing or unknown",
                    _ => "what a session without a name asks for is not in the contract",
                }),
            ],
        ),
        None => Judgement::Open,
    }
}

/// What shows that no session comes about: one that was refused or failed, or a refusal of the modem itself.
fn failing(site: &Site<'_>) -> Option<Evidence> {
    opening_failed(site)
        .or_else(|| session_lost(site).map(|(_, evidence)| evidence))
        .or_else(|| Some(site.sessions.no_carrier.latest()?.says("the dial command ended here")))
        .or_else(|| refusal(site))
}

/// Without any context there is no name; whether one is needed shows when a session is tried.
fn no_context(site: &Site<'_>) -> Judgement {
    match (site.sessions.no_contexts.latest(), opening_failed(site)) {
        (Some(empty), Some(failed)) => holds(
            Certainty::Likely,
            "No context is defined, so that there is no access point name to open a session with.",
            vec![empty.says("the list of contexts is empty"), failed],
        ),
        _ => Judgement::Open,
    }
}
