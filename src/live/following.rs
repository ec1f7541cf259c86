//! How far a modem came on its way into the network, as it is followed: a value that is made from
//! the dialogue so far, without a line or a clock.

use crate::case::{
    Case, Cell, Domain, Quantity, Registration, RegistrationStatus, Reject, Sim, Value,
};
use std::time::Duration;

/// The domains, the one that carries data on most modems first.
pub const DOMAINS: [Domain; 4] = [Domain::Eps, Domain::FiveG, Domain::Packet, Domain::Circuit];

/// What a modem does on its way into the network.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Phase {
    /// It does not answer yet: it starts, or its port is not there.
    Starts,
    /// It answers; its card does not, as behind a start.
    CardBusy,
    /// The card wants something of a person, or is not there.
    CardWaits,
    /// The radio is off.
    RadioOff,
    /// It looks for a network.
    Searches,
    /// The network refused it; it may try elsewhere.
    Denied,
    /// It is registered for data, without an address yet.
    Registered,
    /// It is registered for data and has an address.
    Connected,
}

/// How far a modem came.
#[derive(Clone, Debug, PartialEq)]
pub struct Following {
    /// The time since the run began, or since the modem started in it.
    pub since: Duration,
    /// Whether the modem was seen to start in this run.
    pub saw_start: bool,
    /// What it does.
    pub phase: Phase,
    /// The state of the card.
    pub sim: Option<Sim>,
    /// Functionality level.
    pub functionality: Option<u8>,
    /// The states by domain, as [`DOMAINS`] lists them.
    pub states: [Option<Registration>; 4],
    /// The last cause of a refusal.
    pub reject: Option<Reject>,
    /// Level of the reference signal, dBm.
    pub rsrp_dbm: Option<f64>,
    /// Total power, dBm.
    pub rssi_dbm: Option<f64>,
    /// Area code, hexadecimal digits.
    pub area: Option<String>,
    /// Cell number.
    pub cell: Option<u64>,
    /// Whether a context has an address.
    pub has_address: bool,
    /// What came by itself since it was last shown, with its time.
    pub heard: Vec<(Duration, String)>,
}

impl Default for Following {
    fn default() -> Self {
        Self {
            since: Duration::ZERO,
            saw_start: false,
            phase: Phase::Starts,
            sim: None,
            functionality: None,
            states: [None; 4],
            reject: None,
            rsrp_dbm: None,
            rssi_dbm: None,
            area: None,
            cell: None,
            has_address: false,
            heard: Vec::new(),
        }
    }
}

impl Following {
    /// Takes what a piece of the dialogue says.
    pub(super) fn take(&mut self, case: &Case) {
        if let Some(sim) = case.card.state.latest() {
            self.sim = Some(sim.value);
        }
        if let Some(level) = case.device.functionality.latest() {
            self.functionality = Some(level.value);
        }
        for (state, domain) in self.states.iter_mut().zip(DOMAINS) {
            if let Some(now) = case.stat(domain) {
                *state = Some(now.value);
            }
        }
        if let Some(reject) = case.registration.rejects.latest() {
            self.reject = Some(reject.value);
        }
        for reading in case.radio.readings.all().iter().filter(|r| r.value.cell == Cell::Serving) {
            match (reading.value.quantity, &reading.value.value) {
                (Quantity::Rsrp, Value::Number(level)) => self.rsrp_dbm = *level,
                (Quantity::Rssi, Value::Number(level)) => self.rssi_dbm = *level,
                (Quantity::TacHex, Value::Word(area)) => self.area = Some(area.to_string()),
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "a cell number has 36 bits"
                )]
                (Quantity::CellId, Value::Number(cell)) => self.cell = cell.map(|c| c as u64),
                _ => {}
            }
        }
        if !self.is_registered() {
            self.has_address = false;
        }
        self.phase = self.now();
    }

    /// The modem began anew: nothing of before counts.
    pub(super) fn starts(&mut self) {
        let heard = std::mem::take(&mut self.heard);
        *self = Self { saw_start: true, heard, ..Self::default() };
    }

    /// Whether any domain that carries data is registered.
    pub fn is_registered(&self) -> bool {
        self.data_is(RegistrationStatus::Registered)
    }

    /// Whether every domain that carries data and is used at all is refused.
    pub(super) fn is_denied(&self) -> bool {
        self.data_is(RegistrationStatus::Denied)
            && !self.data_is(RegistrationStatus::Registered)
            && !self.data_is(RegistrationStatus::Searching)
    }

    fn data_is(&self, wanted: RegistrationStatus) -> bool {
        let data = self.states.iter().flatten().filter(|s| s.domain != Domain::Circuit);
        data.into_iter().any(|state| state.status() == wanted)
    }

    fn now(&self) -> Phase {
        match &self.sim {
            None | Some(Sim::Busy) => return Phase::CardBusy,
            Some(Sim::Ready | Sim::Inserted | Sim::SecondCodeRequired) => {}
            Some(_) => return Phase::CardWaits,
        }
        if self.functionality.is_some_and(|level| level != 1) {
            return Phase::RadioOff;
        }
        match (self.is_registered(), self.has_address) {
            (true, true) => Phase::Connected,
            (true, false) => Phase::Registered,
            (false, _) if self.is_denied() => Phase::Denied,
            (false, _) => Phase::Searches,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::Capture;

    fn after(pieces: &[&str]) -> Following {
        let mut following = Following::default();
        for text in pieces {
            following.take(&Case::read(&Capture::new(text)));
        }
        following
    }

    #[test]
    fn the_phases_follow_each_other_as_the_modem_says_them() {
        let ready = "AT+CPIN?\n+CPIN: READY\nOK\nAT+CFUN?\n+CFUN: 1\nOK\n";
        assert_eq!(after(&["AT+CPIN?\n+CME ERROR: 14\n"]).phase, Phase::CardBusy);
        assert_eq!(after(&["AT+CPIN?\n+CPIN: SIM PIN\nOK\n"]).phase, Phase::CardWaits);
        assert_eq!(after(&[ready, "AT+CFUN?\n+CFUN: 4\nOK\n"]).phase, Phase::RadioOff);
        assert_eq!(after(&[ready, "AT+CEREG?\n+CEREG: 3,2\nOK\n"]).phase, Phase::Searches);
        let refused = after(&[ready, "AT+CEREG?\n+CEREG: 3,3,,,,0,15\nOK\n"]);
        assert_eq!((refused.phase, refused.reject.unwrap().cause), (Phase::Denied, 15));
        let served = "AT+CEREG?\n+CEREG: 3,1,\"0A11\",\"0003A2B1\",7\nOK\n";
        let registered = after(&[ready, served]);
        assert_eq!(registered.phase, Phase::Registered);
        assert_eq!((registered.area.as_deref(), registered.cell), (Some("0A11"), Some(0x3_a2b1)));
    }

    #[test]
    fn a_modem_that_still_looks_in_another_domain_is_not_refused() {
        let ready = "AT+CPIN?\n+CPIN: READY\nOK\n";
        let both = "AT+CEREG?\n+CEREG: 3,3,,,,0,15\nOK\nAT+CGREG?\n+CGREG: 2,2\nOK\n";
        assert_eq!(after(&[ready, both]).phase, Phase::Searches);
    }
}
