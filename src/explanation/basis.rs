//! What a text is held against, and how much of its explanation is shown.

use crate::carrier::ProfileStore;
use crate::rules::Team;

/// What a text is held against.
#[derive(Clone, Copy, Debug)]
pub struct Basis<'a> {
    /// The carrier profiles.
    pub profiles: &'a ProfileStore,
    /// The name of the card's carrier, if the user gives it.
    pub carrier: Option<&'a str>,
    /// The team's own notes, steps and contacts.
    pub team: Option<&'a Team>,
    /// The checks before a return that were made outside of the text; `None` if no return is in question.
    pub tried: Option<&'a [String]>,
}

impl<'a> Basis<'a> {
    /// Profiles alone.
    pub const fn of(profiles: &'a ProfileStore) -> Self {
        Self { profiles, carrier: None, team: None, tried: None }
    }
}

/// How much of an explanation is shown, and how wide.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct View {
    /// Every judgement, also what is ruled out and what is open.
    pub all: bool,
    /// Identities and secrets in full.
    pub unmask: bool,
    /// The width of the terminal in columns.
    pub width: usize,
}

impl Default for View {
    fn default() -> Self {
        Self { all: false, unmask: false, width: 80 }
    }
}
