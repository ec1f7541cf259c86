//! The bearer layer: access point, address type, credentials, contexts.

pub(super) mod apn_blank;
pub(super) mod apn_mismatch;
pub(super) mod apn_unknown;
pub(super) mod credentials;
pub(super) mod inactive;
pub(super) mod network_refused;
pub(super) mod not_subscribed;
pub(super) mod pdn_type;
pub(super) mod wrong_context;

use super::registration_status::refusal;
use super::{Certainty, Judgement, Site, bearer_up, holds, opening_failed};
use crate::case::Observation;
use crate::case::{ContextDefinition, Reject};

use super::{Consequence, Layer, Read, Rule, reads};

/// What follows where the network opens no session.
const AFTER_REFUSAL: &[Consequence] = &[
    Consequence::Rule(&inactive::RULE),
    Consequence::Rule(&crate::rules::registration::attach_bearer::RULE),
    Consequence::Rule(&crate::rules::registration::denied::RULE),
    Consequence::Rule(&crate::rules::registration::searching::RULE),
    Consequence::Rule(&crate::rules::registration::idle::RULE),
    Consequence::Layer(Layer::Path),
];

/// What to ask once the trouble lies with the session.
const FOLLOW_UP: &[&Read] =
    &[&reads::LAST_FAILURE, &reads::CONTEXTS, &reads::SESSIONS, &reads::ATTACHED];

pub(super) static RULES: &[&Rule] = &[
    &apn_unknown::RULE,
    &pdn_type::RULE,
    &credentials::RULE,
    &not_subscribed::RULE,
    &apn_blank::RULE,
    &apn_mismatch::RULE,
    &wrong_context::RULE,
    &inactive::RULE,
    &network_refused::RULE,
];

/// The latest reason that the network gave for refusing a session.
fn session_reject<'a>(site: &Site<'a>) -> Option<&'a Observation<Reject>> {
    site.case.registration.rejects.current().iter().rev().find(|o| o.value.kind.is_session())
}

/// Whether the latest reason for refusing a session is one of a group.
fn refused(
    site: &Site<'_>,
    of_group: fn(u8) -> bool,
    summary: &'static str,
    words: &str,
) -> Judgement {
    if let Some(evidence) = bearer_up(site) {
        return Judgement::RuledOut(evidence);
    }
    let Some(o) = session_reject(site) else { return Judgement::Open };
    let says = |words: &str| {
        o.says(format!(
            "{} cause {} (TS 24.301 §9.9.4.4, TS 24.008 §10.5.6.6): {words}",
            o.value.kind.name(),
            o.value.cause
        ))
    };
    // What is told of the past belongs to the failure that the text shows.
    let shown = opening_failed(site).or_else(|| refusal(site)).is_some()
        || site.sessions.no_carrier.latest().is_some();
    let certainty = if o.value.history && !shown { Certainty::Likely } else { Certainty::Certain };
    if of_group(o.value.cause) {
        holds(certainty, summary, vec![says(words)])
    } else {
        Judgement::RuledOut(says("the network gave another reason"))
    }
}

/// The context that the attach uses: the one that a reply names, else number 1, else the lowest.
fn attach_context<'a>(site: &Site<'a>) -> Option<&'a Observation<ContextDefinition>> {
    let case = site.case;
    let named = case.sessions.attach_context.latest().map_or(1, |o| o.value);
    let stored = |cid: u8| case.sessions.contexts.get(&cid).and_then(|h| h.latest());
    stored(named).or_else(|| case.sessions.contexts.values().find_map(|h| h.latest()))
}
