//! The registration layer: whether the network takes the modem, and if not, why.

pub(super) mod area;
pub(super) mod attach_bearer;
pub(super) mod authentication;
pub(super) mod denied;
pub(super) mod detached;
pub(super) mod emergency;
pub(super) mod equipment;
pub(super) mod idle;
pub(super) mod manual;
pub(super) mod network;
pub(super) mod network_trouble;
pub(super) mod roaming;
pub(super) mod searching;
pub(super) mod subscriber;
pub(super) mod voice_centric;

use super::{Certainty, Judgement, Site, holds};

use super::{Consequence, Layer, Rule};

/// What follows a refusal for a reason that the network gave.
const AFTER_REFUSAL: &[Consequence] = &[
    Consequence::Rule(&denied::RULE),
    Consequence::Rule(&searching::RULE),
    Consequence::Rule(&idle::RULE),
    Consequence::Rule(&emergency::RULE),
    Consequence::Rule(&manual::RULE),
    Consequence::Layer(Layer::Bearer),
    Consequence::Layer(Layer::Path),
];

pub(super) static RULES: &[&Rule] = &[
    // Limited service says more than that the modem is not registered.
    &emergency::RULE,
    &idle::RULE,
    &searching::RULE,
    &denied::RULE,
    &subscriber::RULE,
    &equipment::RULE,
    &network::RULE,
    &area::RULE,
    &roaming::RULE,
    &authentication::RULE,
    &attach_bearer::RULE,
    &network_trouble::RULE,
    &manual::RULE,
    &voice_centric::RULE,
    &detached::RULE,
];

/// Whether the latest reason that the network gave is one of `causes`.
fn refused(site: &Site<'_>, causes: &[u8], summary: &'static str, words: &str) -> Judgement {
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    let Some(o) =
        site.registration.rejects.current().iter().rev().find(|o| !o.value.kind.is_session())
    else {
        return Judgement::Open;
    };
    let says = |words: &str| {
        let list = o.value.kind;
        o.says(format!("{} cause {} ({}): {words}", list.name(), o.value.cause, list.clause()))
    };
    if !causes.contains(&o.value.cause) {
        return Judgement::RuledOut(says("the network gave another reason"));
    }
    let certainty = if o.value.history { Certainty::Likely } else { Certainty::Certain };
    holds(certainty, summary, vec![says(words)])
}
