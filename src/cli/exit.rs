//! How the program ends.

use crate::verdict::{Finding, Verdict};

/// How the program ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Done, or connected.
    Done,
    /// A fault was found, or a check failed.
    Fault,
    /// Unusable input or arguments.
    Unusable,
    /// The text is not enough.
    Unclear,
}

impl Exit {
    /// The end of a command that reaches this verdict.
    pub(super) fn of(verdict: &Verdict) -> Self {
        match verdict.finding {
            Finding::Connected { .. } => Self::Done,
            Finding::Fault(_) => Self::Fault,
            Finding::Unclear => Self::Unclear,
        }
    }

    /// The exit status as a number.
    pub const fn status(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Fault => 1,
            Self::Unusable => 2,
            Self::Unclear => 3,
        }
    }
}
