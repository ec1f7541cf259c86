//! The radio switched off and on (TS 27.007 §8.2), and on again whatever happens in between.
//!
//! From the moment at which `AT+CFUN=4` goes out nothing ends the run before the radio is on: a stop
//! waits, a panic switches on while it unwinds, a lost port is waited for. Nothing is sent between
//! `AT+CFUN=4` and its result, because a character may abort the command (V.250 §5.6.1).

use super::cycle_error::{CycleError, RADIO_ON};
use super::journal::Journal;
use super::modem_identity::Match;
use super::refusal::Refusal;
use super::same_modem::SameModem;
use super::values::values;
use crate::at::{Client, ClientError, CommandResponse};
use std::time::Duration;

/// What is done while the radio is off.
pub(super) type Between<'b> = dyn FnMut(&mut Client<'_>, &mut SameModem) + 'b;

/// Switches the radio off and on, with something done in between.
///
/// # Errors
///
/// [`CycleError`]; but for [`CycleError::RadioOff`] and [`CycleError::StaysOff`] the radio is as it was before.
pub(super) fn cycle(
    client: &mut Client<'_>,
    journal: &Journal,
    mut modem: Option<&mut SameModem>,
    between: Option<&mut Between<'_>>,
) -> Result<(), CycleError> {
    match level(client)? {
        Some(1) => {}
        // An earlier run switched it off here and did not see it on again: it was on before that.
        Some(_) if journal.left_a_radio_off() => {
            Off::new(client, modem).switch_on()?;
            journal.radio_is_on();
            return Ok(());
        }
        Some(level) => return Err(CycleError::WasOff(level)),
        None => return Err(CycleError::Unreadable),
    }
    if client.is_stopped() {
        return Err(CycleError::Line(ClientError::Stopped));
    }
    if let Some(modem) = &mut modem {
        match modem.check(client) {
            Ok(()) => {}
            Err(Refusal::Line(error)) => return Err(CycleError::Line(error)),
            Err(_) => return Err(CycleError::NotTheModem),
        }
    }
    let note = journal.radio_off(RADIO_ON).map_err(CycleError::Journal)?;
    let mut off = Off::new(client, modem);
    // Whatever comes of it, the radio is switched on behind it.
    let sent = off.client.ask("AT+CFUN=4");
    if let (Ok(_), Some(between), Some(modem)) = (&sent, between, &mut off.modem) {
        between(off.client, modem);
    }
    let on = off.switch_on();
    drop(off);
    on?;
    note.done();
    sent?;
    Ok(())
}

/// The functionality level.
pub(super) fn level(client: &mut Client<'_>) -> Result<Option<u8>, ClientError> {
    Ok(level_in(&client.ask("AT+CFUN?")?))
}

/// The functionality level in a response.
pub(super) fn level_in(response: &CommandResponse) -> Option<u8> {
    values("AT+CFUN?", response).device.functionality.latest().map(|o| o.value)
}

/// A radio that is to be switched on again.
struct Off<'o, 'c> {
    client: &'o mut Client<'c>,
    modem: Option<&'o mut SameModem>,
    guarded: bool,
    on: bool,
}

impl<'o, 'c> Off<'o, 'c> {
    fn new(client: &'o mut Client<'c>, modem: Option<&'o mut SameModem>) -> Self {
        let guarded = client.guard(true);
        Self { client, modem, guarded, on: false }
    }

    /// Switches the radio on and reads back that it is.
    fn switch_on(&mut self) -> Result<(), CycleError> {
        const TRIES: usize = 5;
        const BETWEEN: Duration = Duration::from_secs(2);
        let mut last = CycleError::RadioOff(ClientError::Silent);
        for _ in 0..TRIES {
            match self.try_on() {
                Ok(None) => {
                    self.on = true;
                    return Ok(());
                }
                Ok(Some(off)) => {
                    last = off;
                    if let Err(error) = self.client.listen(BETWEEN) {
                        last = CycleError::RadioOff(error);
                    }
                }
                Err(Refusal::Line(error @ ClientError::Gone(_))) => {
                    return Err(CycleError::RadioOff(error));
                }
                Err(Refusal::Line(error)) => last = CycleError::RadioOff(error),
                Err(_) => return Err(CycleError::OtherModem),
            }
        }
        Err(last)
    }

    /// Switches it on once; what there is to say where it is not on then.
    fn try_on(&mut self) -> Result<Option<CycleError>, Refusal> {
        if let Some(modem) = &mut self.modem {
            // A modem that gives no number is switched on all the same: that loses nothing.
            match modem.compare(self.client)? {
                Match::OtherModem => return Err(Refusal::OtherModem("another modem")),
                Match::Same | Match::OtherCard | Match::Unknown => {}
            }
        }
        let response = self.client.ask(RADIO_ON)?;
        Ok(match level(self.client)? {
            Some(1) => None,
            Some(level) => Some(CycleError::StaysOff(level)),
            // A modem that does not give its level is taken at its word.
            None if response.is_ok() => None,
            None => Some(CycleError::RadioOff(ClientError::Silent)),
        })
    }
}

impl Drop for Off<'_, '_> {
    fn drop(&mut self) {
        if !self.on && std::thread::panicking() {
            // The last thing that can be done; the panic's own message follows.
            let _ = self.switch_on();
        }
        self.client.guard(self.guarded);
    }
}
