//! What a rule may look at: the case, and the carrier's wishes where a profile is known.

use super::registration_status::{online, registration_status};
use crate::carrier::{AccessPoint, Carrier, ProfileStore};
use crate::case::RegistrationStatus;
use crate::case::{Case, Evidence};
use std::cell::OnceCell;
use std::ops::Deref;

/// A case, and what its carrier wants.
#[derive(Clone, Debug)]
pub struct Site<'a> {
    /// What was read.
    pub case: &'a Case,
    /// The card's carrier, where it is known for sure or was named.
    pub carrier: Option<&'a Carrier>,
    /// All profiles, for telling whose an access point name is.
    pub profiles: Option<&'a ProfileStore>,
    /// Where the modem stands, once a rule has asked: nearly every one does.
    stands: OnceCell<Option<(RegistrationStatus, Evidence)>>,
    /// What shows that it is on the network for data, once a rule has asked.
    online: OnceCell<Option<Evidence>>,
}

impl<'a> Site<'a> {
    /// A case without a carrier profile.
    pub const fn of(case: &'a Case) -> Self {
        Self {
            case,
            carrier: None,
            profiles: None,
            stands: OnceCell::new(),
            online: OnceCell::new(),
        }
    }

    /// A case with what is known of carriers.
    pub fn with(case: &'a Case, carrier: Option<&'a Carrier>, profiles: &'a ProfileStore) -> Self {
        Self { carrier, profiles: Some(profiles), ..Self::of(case) }
    }

    /// The most telling state of registration, and what says so.
    pub(crate) fn registration_status(&self) -> Option<(RegistrationStatus, Evidence)> {
        self.stands.get_or_init(|| registration_status(self.case)).clone()
    }

    /// What shows that the modem is on the network for data.
    pub(super) fn online(&self) -> Option<Evidence> {
        self.online.get_or_init(|| online(self.case)).clone()
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
