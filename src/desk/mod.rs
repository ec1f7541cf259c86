//! The support desk: a page on the technician's own machine, for pasting, reading and looking up.
//!
//! The server listens on loopback only and lets in who has the key of this start. It keeps nothing: each request
//! carries its text and gets its page, so two people's texts never meet. The page works without code in the browser.

mod carry;
mod guard;
mod pages;
mod server;

pub use server::serve;

use crate::carrier::ProfileStore;
use crate::rules::Team;

/// The largest body of a request in bytes: a text with its coding.
const LARGEST: usize = 16 * 1024 * 1024;

/// What the page holds texts against.
#[derive(Debug)]
pub struct Desktop {
    /// The carrier profiles.
    pub profiles: ProfileStore,
    /// The team's own notes, steps and contacts.
    pub team: Team,
}
