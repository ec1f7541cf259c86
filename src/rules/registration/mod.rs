//! The registration layer: whether the network takes the modem, and if not, why.

pub(super) mod area;
pub(super) mod attach_bearer;
pub(super) mod authentication;
pub(super) mod core_network;
pub(super) mod denied;
pub(super) mod detached;
pub(super) mod emergency;
pub(super) mod equipment;
pub(super) mod forbidden_scan;
pub(super) mod forgotten;
pub(super) mod idle;
pub(super) mod manual;
pub(super) mod network;
pub(super) mod network_trouble;
pub(super) mod no_suitable_cell;
pub(super) mod protocol_error;
pub(super) mod roaming;
pub(super) mod searching;
pub(super) mod security;
pub(super) mod subscriber;
pub(super) mod voice_centric;

use super::{Certainty, Judgement, Read, Site, holds, reads};
use crate::case::{Observation, Reject};
use crate::reference::causes::{self, CauseList, Retries};

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

/// Where the causes stand.
const CAUSES: &str = "TS 24.301 §9.9.3.9; TS 24.008 §10.5.5.14, §10.5.3.6; TS 24.501 §9.11.3.2";

/// The reads of the reject cause.
const REASONS: &[&Read] = &[&reads::REASON, &reads::REASON_5G, &reads::LAST_FAILURE];

pub(super) static RULES: &[&Rule] = &[
    // Limited service says more than that the modem is not registered.
    &emergency::RULE,
    &idle::RULE,
    &searching::RULE,
    &denied::RULE,
    &subscriber::RULE,
    &equipment::RULE,
    &network::RULE,
    &core_network::RULE,
    &forbidden_scan::RULE,
    &area::RULE,
    &no_suitable_cell::RULE,
    &roaming::RULE,
    &authentication::RULE,
    &security::RULE,
    &attach_bearer::RULE,
    &network_trouble::RULE,
    &forgotten::RULE,
    &protocol_error::RULE,
    &manual::RULE,
    &voice_centric::RULE,
    &detached::RULE,
];

/// Whether the latest cause that the network gave is one that a rule owns.
///
/// What the cause means and what the modem does next comes from the table of causes.
fn refused(site: &Site<'_>, owns: fn(CauseList, u8) -> bool, summary: &str) -> Judgement {
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    let Some(o) = latest_reject(site) else { return Judgement::Open };
    let Reject { kind: list, cause: number, history } = o.value;
    let row = causes::assigned(list, number);
    let title = format!("{} cause {number} ({})", list.name(), list.clause());
    if !owns(list, number) {
        return Judgement::RuledOut(o.says(format!("{title}: another cause")));
    }
    let meaning = row.map_or("not assigned", |row| row.meaning);
    let next = match row.map(|row| row.retries) {
        Some(Retries::No) => {
            " The modem does not try again until it is switched off or the card is changed."
        }
        Some(Retries::Changed) => " The modem does not try again until its settings change.",
        _ => "",
    };
    let certainty = if history { Certainty::Likely } else { Certainty::Certain };
    holds(certainty, format!("{summary}{next}"), vec![o.says(format!("{title}: {meaning}"))])
}

/// The latest cause that concerns the device, not a session.
fn latest_reject<'a>(site: &Site<'a>) -> Option<&'a Observation<Reject>> {
    site.case.registration.rejects.current().iter().rev().find(|o| !o.value.kind.is_session())
}

#[cfg(test)]
mod tests;
