//! The modem that a change is made at, told from any other that comes onto the line.

use super::modem_identity::{Key, Match, ModemIdentity};
use super::refusal::Refusal;
use crate::at::Client;

/// The modem that a change is made at.
#[derive(Clone)]
pub struct SameModem {
    identity: ModemIdentity,
    key: Key,
    restarts: usize,
}

impl SameModem {
    /// The modem on the line.
    ///
    /// # Errors
    ///
    /// As the line.
    pub fn read(client: &mut Client<'_>, key: Key) -> Result<Self, Refusal> {
        let restarts = client.restarts();
        let identity = ModemIdentity::read(client, &key)?;
        Ok(Self { identity, key, restarts })
    }

    /// Who it is.
    pub const fn identity(&self) -> &ModemIdentity {
        &self.identity
    }

    /// How the modem on the line compares; it is asked only where the line was away, or the modem
    /// restarted, since it was last seen.
    pub(super) fn compare(&mut self, client: &mut Client<'_>) -> Result<Match, Refusal> {
        if client.restarts() == self.restarts {
            return Ok(Match::Same);
        }
        let restarts = client.restarts();
        let there = ModemIdentity::read(client, &self.key)?;
        let found = self.identity.compare(&there);
        if found == Match::Same {
            self.restarts = restarts;
        }
        Ok(found)
    }

    /// Refuses where another modem came onto the line.
    pub(super) fn check(&mut self, client: &mut Client<'_>) -> Result<(), Refusal> {
        match self.compare(client)? {
            Match::Same => Ok(()),
            Match::OtherModem => Err(Refusal::OtherModem("another modem")),
            Match::OtherCard => Err(Refusal::OtherModem("another card in the modem")),
            Match::Unknown => Err(Refusal::OtherModem("a modem that cannot be identified")),
        }
    }
}
