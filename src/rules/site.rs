//! What a rule may look at: the case, and the carrier's wishes where a profile is known.

use super::registration_status::{online, registration_status};
use crate::carrier::{AccessPoint, Carrier, Choice, ProfileStore};
use crate::case::{Case, Domain, Evidence, Rat, RegistrationStatus};
use crate::reference::models::{self, Model, System};
use crate::response::{VendorCommandSet, command_set};
use std::cell::OnceCell;
use std::ops::Deref;

/// A case, and what its carrier wants.
#[derive(Clone, Debug)]
pub struct Site<'a> {
    /// What was read.
    pub case: &'a Case,
    /// The card's carrier, where it is known for sure or was named.
    pub carrier: Option<&'a Carrier>,
    /// Those that fit the card alike, where none is known for sure.
    pub candidates: &'a [Carrier],
    /// All profiles, for telling whose an access point name is.
    pub profiles: Option<&'a ProfileStore>,
    /// Where the modem stands, once a rule has asked: nearly every one does.
    stands: OnceCell<Option<(RegistrationStatus, Evidence)>>,
    /// What shows that it is on the network for data, once a rule has asked.
    online: OnceCell<Option<Evidence>>,
    /// The model of the module, once a rule has asked.
    model: OnceCell<Option<&'static Model>>,
}

impl<'a> Site<'a> {
    /// A case without a carrier profile.
    pub const fn of(case: &'a Case) -> Self {
        Self {
            case,
            carrier: None,
            candidates: &[],
            profiles: None,
            stands: OnceCell::new(),
            online: OnceCell::new(),
            model: OnceCell::new(),
        }
    }

    /// A case with what is known of carriers.
    pub fn with(case: &'a Case, carrier: Option<&'a Carrier>, profiles: &'a ProfileStore) -> Self {
        Self { carrier, profiles: Some(profiles), ..Self::of(case) }
    }

    /// A case with the profile that was chosen, or with those that fit alike.
    pub fn chosen(case: &'a Case, choice: &'a Choice, profiles: &'a ProfileStore) -> Self {
        Self {
            candidates: &choice.candidates,
            ..Self::with(case, choice.carrier.as_ref(), profiles)
        }
    }

    /// The case with each profile that fits alike.
    pub(crate) fn with_each(&self) -> Vec<Self> {
        let with = |carrier| Self { carrier: Some(carrier), ..self.clone() };
        if self.carrier.is_some() { Vec::new() } else { self.candidates.iter().map(with).collect() }
    }

    /// The most telling state of registration, and what says so.
    pub(crate) fn registration_status(&self) -> Option<(RegistrationStatus, Evidence)> {
        self.stands.get_or_init(|| registration_status(self.case)).clone()
    }

    /// What shows that the modem is on the network for data.
    pub(super) fn online(&self) -> Option<Evidence> {
        self.online.get_or_init(|| online(self.case)).clone()
    }

    /// The model of the module, by what it prints of itself.
    fn model(&self) -> Option<&'static Model> {
        *self.model.get_or_init(|| {
            let device = &self.case.device;
            [device.model.latest(), device.firmware.latest()]
                .into_iter()
                .flatten()
                .find_map(|o| models::find(&o.value))
        })
    }

    /// The vendor command set of this modem, by the responses in the text or by its model.
    pub(crate) fn command_set(&self) -> Option<&'static VendorCommandSet> {
        let seen = self.case.dialogue.vendor_prefixes.iter().map(String::as_str);
        command_set(seen).or_else(|| command_set([self.model()?.command_set]))
    }

    /// The newest system that this modem has: by its model, else by the network that it reports.
    pub(crate) fn system(&self) -> Option<System> {
        if let Some(model) = self.model() {
            return Some(model.newest);
        }
        let states = &self.case.registration.states;
        match self.case.radio.technology.latest().map(|o| o.value) {
            Some(Rat::Nr) => Some(System::Nr),
            Some(Rat::Lte | Rat::LteM | Rat::NbIot) => Some(System::Lte),
            _ if states.of(Domain::FiveG).latest().is_some() => Some(System::Nr),
            _ if states.of(Domain::Eps).latest().is_some() => Some(System::Lte),
            _ if self.sends_2g_commands() => Some(System::Gsm),
            _ => None,
        }
    }

    /// Whether the commands are those with which modules for 2G open a session; common practice, no source.
    fn sends_2g_commands(&self) -> bool {
        const FOR_2G: [&str; 4] = ["+SAPBR", "+CIICR", "+CSTT", "+CIPSHUT"];
        let mut sent = self.case.dialogue.commands();
        sent.any(|c| FOR_2G.iter().any(|own| c.starts_with(own))) && self.command_set().is_none()
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
