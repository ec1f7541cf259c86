//! The session as every rule of the layer asks for it: its context, a refusal, what to ask next.

use crate::case::{ContextDefinition, Observation, Reject};
use crate::rules::registration_status::refusal;
use crate::rules::{
    Action, Acts, Certainty, Judgement, Read, Site, bearer_up, holds, opening_failed, reads,
};

/// What to ask of whoever holds the contract.
pub(super) const ASK_FOR_THE_NAME: Action = Action::step(
    Acts::AccountHolder,
    "Ask the carrier for the exact access point name of this contract.",
);

/// What to do once the name is known.
pub(super) const WRITE_THE_NAME: Action = Action::step(
    Acts::Installer,
    "Write that name on the context that the attach uses, then let the modem attach again.",
)
.reading(&["AT+CGDCONT?"]);

/// The question whose answer the name is.
pub(super) const WHICH_NAME: &str =
    "Which access point name does the carrier's letter or page give for this contract?";

/// What to ask once the trouble lies with the session.
pub(super) const FOLLOW_UP: &[&Read] =
    &[&reads::LAST_FAILURE, &reads::CONTEXTS, &reads::SESSIONS, &reads::ATTACHED];

/// What to ask once the network refuses a session for its name: the name, and whose card and network it is for.
pub(super) const WHOSE_NAME: &[&Read] =
    &[&reads::CONTEXTS, &reads::IDENTITY, &reads::CHOICE, &reads::LAST_FAILURE, &reads::SESSIONS];

/// The latest reason that the network gave for refusing a session.
pub(super) fn session_reject<'a>(site: &Site<'a>) -> Option<&'a Observation<Reject>> {
    site.case.registration.rejects.current().iter().rev().find(|o| o.value.kind.is_session())
}

/// Whether the latest reason for refusing a session is one of a group.
pub(super) fn refused(
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
pub(super) fn attach_context<'a>(site: &Site<'a>) -> Option<&'a Observation<ContextDefinition>> {
    let case = site.case;
    let named = case.sessions.attach_context.latest().map_or(1, |o| o.value);
    let stored = |cid: u8| case.sessions.contexts.get(&cid).and_then(|h| h.latest());
    stored(named).or_else(|| case.sessions.contexts.values().find_map(|h| h.latest()))
}

/// The first context of the text that is stored for data.
pub(super) fn data_context(site: &Site<'_>) -> Option<u8> {
    site.sessions.contexts.keys().copied().find(|cid| site.is_for_data(*cid))
}
