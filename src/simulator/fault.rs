//! What disturbs a line: cut, stall, garble, restart, split, flood, at a byte of what is sent.

use serde::Deserialize;

/// A disturbance of what the modem sends.
#[derive(Clone, Debug, Deserialize, PartialEq, Eq)]
#[serde(deny_unknown_fields)]
pub struct Fault {
    /// `cut` (the line ends), `stall` (nothing more for a while), `garble` (a byte changes),
    /// `restart` (the modem starts anew), `interleave` (an unsolicited code in the middle),
    /// `drop` (a byte is lost), `flood` (a lot of noise).
    pub kind: String,
    /// At which byte of all that the modem sends.
    pub at: usize,
}

impl Fault {
    /// Every kind.
    pub const KINDS: [&'static str; 7] =
        ["cut", "stall", "garble", "restart", "interleave", "drop", "flood"];
}
