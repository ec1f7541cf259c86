//! Captures, surveys or acceptance records of one site or many: what changed that matters, in words, with the
//! likeliest reason of each. Loss of registration comes first.

mod captures;
mod records;
mod surveys;

pub use captures::captures;
pub use records::records;
pub use surveys::{Compared, Limits, surveys};

/// One change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// Whether it is for the worse; `None` where it is neither.
    pub worse: Option<bool>,
    /// What changed.
    pub what: String,
    /// The likeliest reason; common practice, no source.
    pub reason: &'static str,
}

/// The likeliest reason of a lower level.
const LOWER: &str =
    "water in a connector, a turned or damaged antenna, leaves, or less power at the mast";

/// The likeliest reason of a higher level.
const HIGHER: &str = "the antenna, its place or the cell is better";

/// The likeliest reason of another network.
const OTHER_NETWORK: &str =
    "the home network is off or refuses, another card, or a network chosen by hand";
