//! The registration layer: whether the network takes the modem, and if not, why.

pub(super) mod area;
pub(super) mod attach_bearer;
pub(super) mod authentication;
mod consequences;
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
mod refusal;
pub(super) mod roaming;
pub(super) mod searching;
pub(super) mod security;
pub(super) mod subscriber;
pub(super) mod voice_centric;

use super::Rule;

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

#[cfg(test)]
mod tests;
