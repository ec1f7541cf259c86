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

/// Families from outside of the crate.
static ADDED: OnceLock<Vec<&'static Family>> = OnceLock::new();

/// Texts were read already, without the families that were to be added.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("families are added once, before the first text is read")]
pub struct TooLate;

/// Adds families to those of the crate, once and before the first text is read. A prefix that the crate reads itself
/// is read by the added family from then on.
///
/// # Errors
///
/// [`TooLate`] where a text was read, or families were added, before.
pub fn add_families(more: &[&'static Family]) -> Result<(), TooLate> {
    ADDED.set(more.to_vec()).map_err(|_| TooLate)
}

/// Every family, standard ones first, those from outside of the crate last.
pub fn families() -> impl Iterator<Item = &'static Family> {
    let added = ADDED.get_or_init(Vec::new);
    standard::FAMILIES.iter().copied().chain(vendor::families()).chain(added.iter().copied())
}

/// The family of a prefix, whatever its case.
pub fn family(prefix: &str) -> Option<&'static Family> {
    known(prefix).map(|k| k.family)
}

pub(crate) fn known(prefix: &str) -> Option<&'static Known> {
    let found = table().get(prefix);
    found.or_else(|| table().get(prefix.to_ascii_uppercase().as_str()))
}
