//! Which family reads the replies under a prefix.

use super::Family;
use super::{standard, vendor};
use std::collections::HashMap;
use std::sync::OnceLock;

/// What is known of a prefix.
#[derive(Debug)]
pub(crate) struct Known {
    pub(crate) family: &'static Family,
    /// Whether only one vendor's command set has it.
    pub(crate) of_a_vendor: bool,
}

/// Looked into once for every reply, and never with a key that someone else could choose to
/// collide: a fast hash serves.
type Prefixes = HashMap<&'static str, Known, foldhash::fast::FixedState>;

fn table() -> &'static Prefixes {
    static TABLE: OnceLock<Prefixes> = OnceLock::new();
    TABLE.get_or_init(|| {
        families()
            .flat_map(|family| family.prefixes.iter().map(move |&prefix| (prefix, family)))
            .map(|(prefix, family)| {
                (prefix, Known { family, of_a_vendor: vendor::command_set([prefix]).is_some() })
            })
            .collect()
    })
}

/// Every family, standard ones first.
pub fn families() -> impl Iterator<Item = &'static Family> {
    standard::FAMILIES.iter().chain(vendor::FAMILIES).copied()
}

/// The family of a prefix, whatever its case.
pub fn family(prefix: &str) -> Option<&'static Family> {
    known(prefix).map(|k| k.family)
}

pub(crate) fn known(prefix: &str) -> Option<&'static Known> {
    let found = table().get(prefix);
    found.or_else(|| table().get(prefix.to_ascii_uppercase().as_str()))
}
