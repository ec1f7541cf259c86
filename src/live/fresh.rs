//! What is done only when it is asked for by name, because the link drops: a fresh attach and a
//! restart, each watched until the modem is registered for data.

use super::cycle_error::CycleError;
use super::examine::Progress;
use super::journal::Journal;
use super::proof::{NEWEST, STATES};
use super::radio_cycle::cycle;
use super::same_modem::SameModem;
use super::values::status;
use crate::at::{Client, ClientError};
use crate::rules::RegistrationStatus;
use std::time::{Duration, Instant};

/// A beginning anew.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fresh {
    /// The radio switched off and on (TS 27.007 §8.2): the network states its reason anew.
    Attach,
    /// The modem restarted (`+CFUN=1,1`): its port may go away meanwhile.
    Restart,
}

/// A modem that restarts answers within this, or not at all.
const GOES_DOWN: Duration = Duration::from_secs(3);
/// The states are asked for so often.
const EVERY: Duration = Duration::from_secs(1);

/// A beginning that broke off.
#[derive(Debug, thiserror::Error)]
#[error("{source}{}", left(put_back))]
pub struct BrokenOff {
    /// Why.
    pub source: CycleError,
    /// Commands that put back what was switched, to be sent by hand.
    pub put_back: Vec<String>,
}

fn left(put_back: &[String]) -> String {
    if put_back.is_empty() {
        String::new()
    } else {
        format!("; what was switched is not put back: send {}", put_back.join(", then "))
    }
}

/// Begins anew and waits, at most `wait`, until the modem is registered for data; says whether it
/// is. Order, states and what the network sends by itself stand in the recording, with their times.
///
/// # Errors
///
/// [`BrokenOff`] where the line or the recording fails, or the user stopped it; the radio is on again
/// then, or the error says so.
pub fn begin_anew(
    client: &mut Client<'_>,
    fresh: Fresh,
    wait: Duration,
    journal: &Journal,
    progress: &mut dyn Progress,
) -> Result<bool, BrokenOff> {
    let ran = match fresh {
        Fresh::Attach => attach_anew(client, wait, journal, progress),
        Fresh::Restart => restart(client, wait, progress).map_err(CycleError::Line),
    };
    let put_back = client.restore();
    ran.map_err(|source| BrokenOff { source, put_back })
}

/// The radio switched off and on, and the registration awaited; the fuller report stays switched.
pub(super) fn attach_anew(
    client: &mut Client<'_>,
    wait: Duration,
    journal: &Journal,
    progress: &mut dyn Progress,
) -> Result<bool, CycleError> {
    // With the fuller report a refusal comes with its cause.
    progress.asking("AT+CEREG=3");
    client.switch("+CEREG", "3")?;
    progress.asking("AT+CFUN=4, then AT+CFUN=1");
    let mut modem = journal.key().ok().and_then(|key| SameModem::read(client, key).ok());
    cycle(client, journal, modem.as_mut(), None)?;
    let until = client.now() + wait;
    Ok(await_registration(client, until, progress)?)
}

fn restart(
    client: &mut Client<'_>,
    wait: Duration,
    progress: &mut dyn Progress,
) -> Result<bool, ClientError> {
    let until = client.now() + wait;
    progress.asking("AT+CFUN=1,1");
    // Many modems go down without an answer; those that answer go down a moment later.
    client.ask_within("AT+CFUN=1,1", "AT+CFUN=1,1", GOES_DOWN)?;
    client.listen(EVERY)?;
    while !client.wake(false)? {
        if client.now() >= until {
            return Ok(false);
        }
    }
    await_registration(client, until, progress)
}

/// Asks for the states until one of them carries data.
fn await_registration(
    client: &mut Client<'_>,
    until: Instant,
    progress: &mut dyn Progress,
) -> Result<bool, ClientError> {
    let mut asked: Vec<&str> = STATES.to_vec();
    let mut registered = false;
    while !registered && client.now() < until {
        let mut refused = Vec::new();
        for command in &asked {
            progress.asking(command);
            let response = client.ask(command)?;
            registered |= status(command, &response) == Some(RegistrationStatus::Registered);
            if !response.is_ok() {
                refused.push(*command);
            }
        }
        // A modem that answers the others has no 5G; while it starts it may refuse all of them.
        if refused == [NEWEST] {
            asked.retain(|command| *command != NEWEST);
        }
        if !registered {
            client.listen(EVERY)?;
        }
    }
    for command in ["AT+CEER", "AT+CGPADDR"] {
        progress.asking(command);
        client.ask(command)?;
    }
    Ok(registered)
}
