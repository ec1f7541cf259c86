//! What the page compares texts with, and where it keeps tickets.

use crate::carrier::ProfileStore;
use crate::rules::Team;
use std::path::PathBuf;

/// What the page compares texts with, and where it keeps tickets.
#[derive(Debug)]
pub struct Desktop {
    /// The carrier profiles.
    pub profiles: ProfileStore,
    /// The team's own notes, steps and contacts.
    pub team: Team,
    /// The folder with the tickets; without one nothing is kept.
    pub tickets: Option<PathBuf>,
}
