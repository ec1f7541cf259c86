//! What the page compares texts with.

use crate::carrier::ProfileStore;
use crate::rules::Team;

/// What the page compares texts with.
#[derive(Debug)]
pub struct Desktop {
    /// The carrier profiles.
    pub profiles: ProfileStore,
    /// The team's own notes, steps and contacts.
    pub team: Team,
}
