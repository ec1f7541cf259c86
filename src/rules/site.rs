//! What a rule may look at: the case, and the carrier's wishes where a profile is known.

use crate::carrier::{AccessPoint, Carrier, Carriers};
use crate::case::Case;
use std::ops::Deref;

/// A case, and what its carrier wants.
#[derive(Clone, Copy, Debug)]
pub struct Site<'a> {
    /// What was read.
    pub case: &'a Case,
    /// The card's carrier, where it is known for sure or was named.
    pub carrier: Option<&'a Carrier>,
    /// All profiles, for telling whose an access point name is.
    pub book: Option<&'a Carriers>,
}

impl<'a> Site<'a> {
    /// A case without a carrier profile.
    pub const fn of(case: &'a Case) -> Self {
        Self { case, carrier: None, book: None }
    }

    /// A case with what is known of carriers.
    pub const fn with(case: &'a Case, carrier: Option<&'a Carrier>, book: &'a Carriers) -> Self {
        Self { case, carrier, book: Some(book) }
    }

    /// The access points of the carrier that an attach may use.
    pub(super) fn data_access_points(&self) -> Vec<&'a AccessPoint> {
        let all = self.carrier.map_or(&[][..], |c| &c.access_points);
        let data: Vec<_> = all.iter().filter(|a| !a.is_for_other_use()).collect();
        let attach: Vec<_> =
            data.iter().copied().filter(|a| a.purpose.iter().any(|p| p == "attach")).collect();
        if attach.is_empty() { data } else { attach }
    }
}

impl Deref for Site<'_> {
    type Target = Case;

    fn deref(&self) -> &Case {
        self.case
    }
}
