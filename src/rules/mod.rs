//! What may be wrong: one rule a cause, in layers from the host up to the path.
//!
//! A rule reads a [`Site`] and answers that its cause holds, that it is ruled out, or that the text
//! leaves it open. It parses nothing and knows no other rule's answer; which cause explains which
//! is said by [`Rule::explains`] and used by the verdict.
//!
//! Each rule stands beside its page: what it is about, what shows it, what rules it out, what
//! leaves it open, and an example of each, which run as tests.

mod bearer;
mod card;
mod device;
mod early;
mod host;
mod layer;
mod path;
mod radio;
pub(crate) mod reads;
mod registration;
mod registration_status;
mod rule;
mod site;
mod team;

pub(crate) use crate::case::RegistrationStatus;
pub(crate) use early::{covers_only, so_far};
pub(crate) use host::port_silent::fell_silent;
pub use layer::Layer;
pub use reads::{Read, VendorRead};
pub(crate) use registration_status::{
    bearer_up, circuit_registered, data_known, data_registered, opening_failed,
    registration_status, service_for_data, session_lost,
};
pub use rule::{Action, Acts, Certainty, Check, Consequence, Judgement, Rule};
pub use site::Site;
pub use team::{Addition, Step, Team, TeamError};

use crate::caution::{ANTENNA, POWER_OFF, SUPPLY};
use rule::{PRACTICE, holds};

/// Every rule, from the bottom layer up.
pub fn all() -> impl Iterator<Item = &'static Rule> {
    LAYERS.iter().flat_map(|rules| rules.iter().copied())
}

/// The rule of an id.
pub fn find(id: &str) -> Option<&'static Rule> {
    all().find(|r| r.id == id)
}

/// The rules of each layer, in the order of [`Layer`].
const LAYERS: [&[&Rule]; 7] = [
    host::RULES,
    device::RULES,
    card::RULES,
    radio::RULES,
    registration::RULES,
    bearer::RULES,
    path::RULES,
];

#[cfg(test)]
mod tests;
