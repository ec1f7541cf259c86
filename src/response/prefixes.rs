//! Which family reads the replies under a header.

use super::Family;
use super::{standard, vendor};
use std::collections::HashMap;
use std::sync::OnceLock;

/// What is known of a header.
#[derive(Debug)]
pub(crate) struct Known {
    pub(crate) family: &'static Family,
    /// Whether it shows its maker's dialect.
    pub(crate) dialect: bool,
}

/// Looked into once for every reply, and never with a key that someone else could choose to
/// collide: a fast hash serves.
type Heads = HashMap<&'static str, Known, foldhash::fast::FixedState>;

fn table() -> &'static Heads {
    static TABLE: OnceLock<Heads> = OnceLock::new();
    TABLE.get_or_init(|| {
        families()
            .flat_map(|family| family.heads.iter().map(move |&head| (head, family)))
            .map(|(head, family)| {
                (head, Known { family, dialect: vendor::command_set([head]).is_some() })
            })
            .collect()
    })
}

/// Every family, standard ones first.
pub fn families() -> impl Iterator<Item = &'static Family> {
    standard::FAMILIES.iter().chain(vendor::FAMILIES).copied()
}

/// The family of a header, whatever its case.
pub fn family(head: &str) -> Option<&'static Family> {
    known(head).map(|k| k.family)
}

pub(crate) fn known(head: &str) -> Option<&'static Known> {
    let found = table().get(head);
    found.or_else(|| table().get(head.to_ascii_uppercase().as_str()))
}
