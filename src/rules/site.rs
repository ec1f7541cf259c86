//! What a rule may look at: the case, and the carrier's wishes where a profile is known.

use crate::case::Case;
use std::ops::Deref;

/// A case, and what its carrier wants.
#[derive(Clone, Copy, Debug)]
pub struct Site<'a> {
    /// What was read.
    pub case: &'a Case,
}

impl<'a> Site<'a> {
    /// A case without a carrier profile.
    pub const fn of(case: &'a Case) -> Self {
        Self { case }
    }
}

impl Deref for Site<'_> {
    type Target = Case;

    fn deref(&self) -> &Case {
        self.case
    }
}
