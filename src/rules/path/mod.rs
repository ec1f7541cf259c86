//! The path layer: whether anything passes once the session is open.

pub(super) mod no_address;
pub(super) mod no_traffic;

use super::Rule;

pub(super) static RULES: &[&Rule] = &[&no_address::RULE, &no_traffic::RULE];
