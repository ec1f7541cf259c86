//! The proof of a change: registered for data, with an address, in the technology that there is.

use super::values::{has_address, status};
use crate::at::{Client, ClientError};
use crate::rules::RegistrationStatus;
use std::time::Duration;

/// The states that carry data, of the technologies; what a modem does not have it answers with an
/// error.
pub(super) const STATES: [&str; 3] = ["AT+CEREG?", "AT+CGREG?", NEWEST];
/// The one that most modems do not have.
pub(super) const NEWEST: &str = "AT+C5GREG?";

/// Whether the modem is registered for data, by any of its states.
pub(super) fn is_registered(client: &mut Client<'_>) -> Result<bool, ClientError> {
    for command in STATES {
        let response = client.ask(command)?;
        if status(command, &response) == Some(RegistrationStatus::Registered) {
            return Ok(true);
        }
    }
    Ok(false)
}

impl Client<'_> {
    /// Waits until the modem is registered for data and has an address, at most `most`; says whether
    /// it came so far.
    ///
    /// # Errors
    ///
    /// As [`Client::ask`].
    pub fn wait_for_address(&mut self, most: Duration) -> Result<bool, ClientError> {
        const EVERY: Duration = Duration::from_millis(500);
        let until = self.now() + most;
        loop {
            if is_registered(self)? && has_address(&self.ask("AT+CGPADDR")?) {
                return Ok(true);
            }
            if self.now() > until {
                return Ok(false);
            }
            self.listen(EVERY)?;
        }
    }
}
