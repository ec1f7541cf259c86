//! The bearer layer: access point, address type, credentials, contexts.

pub(super) mod apn_blank;
pub(super) mod apn_mismatch;
pub(super) mod apn_unknown;
mod consequences;
pub(super) mod credentials;
pub(super) mod inactive;
pub(super) mod network_refused;
pub(super) mod not_subscribed;
pub(super) mod pdn_type;
mod session;
pub(super) mod wrong_context;

use super::Rule;

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

#[cfg(test)]
mod tests;
