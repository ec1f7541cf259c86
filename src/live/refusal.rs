//! Why a change is not made, or not as it should be.

use super::cycle_error::CycleError;
use crate::at::ClientError;

/// Why a change is not made, or not as it should be.
#[derive(Debug, thiserror::Error)]
pub enum Refusal {
    /// The line.
    #[error(transparent)]
    Line(#[from] ClientError),
    /// What is set now cannot be read, so it could not be undone.
    #[error(
        "what is set now cannot be read ({0}), so the change could not be undone; nothing was changed"
    )]
    Unreadable(String),
    /// It is so already.
    #[error("it is so already: {0}; nothing was changed")]
    Already(String),
    /// The last PIN try.
    #[error(
        "only {0} PIN tries are left, and the last one is never used; ask the account holder for the PIN and the carrier for the PUK"
    )]
    TriesLow(u8),
    /// What was asked cannot be.
    #[error("{0}")]
    Impossible(String),
    /// The modem refused a command.
    #[error("the modem refused {0}: {1}")]
    Refused(String, String),
    /// The card refused the PIN.
    #[error("{refused}; {tries} PIN tries are left")]
    PinRefused {
        /// The modem's words.
        refused: String,
        /// Tries left.
        tries: u8,
    },
    /// The modem took a command, and its setting is another one all the same.
    #[error("{name} did not become what was sent: it reads {now:?} now")]
    NotTaken {
        /// The setting.
        name: String,
        /// What it is.
        now: String,
    },
    /// A damaged command changed something else, which cannot be put back.
    #[error(
        "the line damaged a command: {name} was {was:?} and is another one now; its password is not known here, so set it again by hand"
    )]
    Stray {
        /// The setting.
        name: String,
        /// What it was.
        was: String,
    },
    /// The settings changed since the change that is to be undone.
    #[error("{name} has moved on since the change: it reads {now:?} now")]
    MovedOn {
        /// The setting.
        name: String,
        /// What it is.
        now: String,
    },
    /// Another modem.
    #[error("{0} is on this line; nothing was written to it")]
    OtherModem(&'static str),
    /// The journal cannot be written.
    #[error("the journal cannot be written: {0}")]
    Journal(#[from] std::io::Error),
    /// The fresh attach.
    #[error(transparent)]
    Radio(CycleError),
}
