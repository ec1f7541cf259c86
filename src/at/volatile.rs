//! Volatile settings that a read needs (`+CMEE`, `+CEREG`): switched, set again behind a restart,
//! and put back at the end.

use super::client::{Client, ClientError};
use super::response::{CommandResponse, ResultCode};
use super::time_out::{QUIET, time_out};

/// A setting that was switched.
#[derive(Clone, Debug)]
pub(super) struct Volatile {
    name: String,
    before: String,
    wanted: String,
}

impl Volatile {
    fn set(&self) -> String {
        format!("AT{}={}", self.name, self.wanted)
    }

    fn back(&self) -> String {
        format!("AT{}={}", self.name, self.before)
    }
}

impl Client<'_> {
    /// Reads a volatile setting of one digit and switches it. One that cannot be read could not be
    /// put back, so it stays; `false` then.
    ///
    /// # Errors
    ///
    /// As [`Client::ask`].
    pub fn switch(&mut self, name: &str, wanted: &str) -> Result<bool, ClientError> {
        if self.volatile.iter().any(|v| v.name == name) {
            return Ok(true);
        }
        let read = format!("AT{name}?");
        let marker = self.marker.take().filter(|(command, _)| *command == read);
        let response = match marker {
            Some((_, response)) => response,
            None => self.ask(&read)?,
        };
        let digit = report_mode(&response, name);
        let Some(before) = digit
            .filter(|n| response.is_ok() && n.len() == 1 && n.bytes().all(|b| b.is_ascii_digit()))
        else {
            return Ok(false);
        };
        if before == wanted {
            return Ok(true);
        }
        let setting = Volatile { name: name.into(), before, wanted: wanted.into() };
        let set = setting.set();
        // Noted before it is sent: whatever becomes of the command, it is put back.
        self.volatile.push(setting);
        let response = self.ask(&set)?;
        if let ResultCode::Error(_) = response.result {
            self.volatile.retain(|v| v.name != name);
            return Ok(false);
        }
        Ok(true)
    }

    /// Whether a setting that was switched is no longer as it was switched.
    pub(super) fn has_lost(&self, name: &str, response: &CommandResponse) -> bool {
        let now = report_mode(response, name);
        self.volatile.iter().any(|v| v.name == name && now.as_ref().is_some_and(|n| *n != v.wanted))
    }

    /// Sets every switched setting again, as behind a restart.
    pub(super) fn switch_again(&mut self) -> Result<(), ClientError> {
        for setting in self.volatile.clone() {
            let set = setting.set();
            self.ask_once(&set, &set, time_out(&set))?;
        }
        Ok(())
    }

    /// Puts every switched setting back, the last one first, and the form of the results, whether
    /// or not the user has stopped the run; gives the commands that were left undone.
    pub fn restore(&mut self) -> Vec<String> {
        let guarded = self.guard(true);
        let mut left = Vec::new();
        for setting in std::mem::take(&mut self.volatile).into_iter().rev() {
            let back = setting.back();
            if !self.put(&back) {
                left.push(back);
            }
        }
        if std::mem::take(&mut self.numeric) && !self.put("ATV0") {
            left.push("ATV0".into());
        }
        // No result tells that it is so; whoever asks further finds the modem silent, and switches them on again.
        // The line is left open until it is sent.
        if self.quiet && self.send("ATQ1", "ATQ1").and_then(|()| self.listen(QUIET)).is_err() {
            left.push("ATQ1".into());
        }
        self.guard(guarded);
        left
    }

    /// Sends a command that sets something back; a second time where it stayed without a result.
    fn put(&mut self, command: &str) -> bool {
        for _ in 0..2 {
            match self.ask(command) {
                Ok(response) if response.is_ok() => return true,
                Ok(response) if matches!(response.result, ResultCode::Error(_)) => return false,
                Ok(_) => {}
                Err(_) => return false,
            }
        }
        false
    }
}

/// The first field of a setting's response; with a registration report it is the mode only where
/// the state follows, because a report that came by itself begins with the state.
fn report_mode(response: &CommandResponse, name: &str) -> Option<String> {
    let report = name.ends_with("REG");
    let state = |f: &crate::response::Field<'_>| !f.quoted && f.small().is_some();
    let row = response.rows(name).find(|r| !report || r.get(1).is_some_and(state))?;
    row.first().map(|f| f.text.to_owned())
}
