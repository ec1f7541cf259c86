//! Making a change: written, read back until it is so, and the fresh attach that it needs; only ever
//! at the modem that it was planned for.

use super::altered::Altered;
use super::amend::{Amendment, Step};
use super::cycle_error::CycleError;
use super::journal::Journal;
use super::radio_cycle::cycle;
use super::refusal::Refusal;
use super::same_modem::SameModem;
use super::setting::Setting;
use crate::at::{Client, ResultCode};
use crate::reference::errors::cme;
use std::collections::{BTreeMap, BTreeSet};

/// Gives a setting a value, until two reads in a row say that it has it. With a `step` its command is
/// sent in any case, because it sets more than can be read.
///
/// # Errors
///
/// [`Refusal::Refused`] with the modem's words, [`Refusal::NotTaken`] with what is set now.
pub(super) fn converge(
    client: &mut Client<'_>,
    modem: &mut SameModem,
    setting: &Setting,
    target: &str,
    step: Option<&Step>,
) -> Result<(), Refusal> {
    const TRIES: usize = 3;
    let own = setting.write(target).map(Step::plain);
    let mut refused = None;
    let mut sent = false;
    for _ in 0..TRIES {
        modem.check(client)?;
        let now = setting.read(client)?;
        modem.check(client)?;
        if now == target && (sent || step.is_none()) {
            return Ok(());
        }
        if let Some(refused) = refused.take() {
            return Err(refused);
        }
        let Some(step) = step.or(own.as_ref()) else {
            return Err(Refusal::NotTaken { name: setting.name(), now });
        };
        modem.check(client)?;
        let response = client.ask_as(&step.command, &step.shown)?;
        sent |= response.result != ResultCode::Interrupted;
        refused = refusal(&step.shown, &response);
    }
    let now = setting.read(client)?;
    modem.check(client)?;
    match refused {
        _ if now == target => Ok(()),
        Some(refused) => Err(refused),
        None => Err(Refusal::NotTaken { name: setting.name(), now }),
    }
}

/// The refusal in a response, in the modem's words and their meaning; the card's own status of
/// `+CRSM` is one too (TS 51.011 §9.4: 90 and 91 are good).
pub(super) fn refusal(shown: &str, response: &crate::at::CommandResponse) -> Option<Refusal> {
    match &response.result {
        ResultCode::Error(words) => {
            let number = words.rsplit(':').next().and_then(|n| n.trim().parse().ok()).and_then(cme);
            let meaning = number.map_or_else(String::new, |e| format!(" ({})", e.text));
            Some(Refusal::Refused(shown.to_owned(), format!("{words}{meaning}")))
        }
        ResultCode::Ok => {
            let row = response.rows("+CRSM").next()?;
            let status = row.first()?.int()?;
            (!matches!(status, 0x90 | 0x91)).then(|| {
                Refusal::Refused(
                    shown.to_owned(),
                    format!("the card's status {}", response.value("+CRSM").unwrap_or_default()),
                )
            })
        }
        ResultCode::Silent | ResultCode::Interrupted => None,
    }
}

/// The fresh attach behind a change: the radio off and on, where it is on.
///
/// # Errors
///
/// [`Refusal::Radio`]; where the radio may be off it says so.
pub(super) fn reattach(
    client: &mut Client<'_>,
    journal: &Journal,
    modem: &mut SameModem,
) -> Result<(), Refusal> {
    match cycle(client, journal, Some(modem)) {
        // What is off stays off; the change counts from the next attach on.
        Ok(()) | Err(CycleError::WasOff(_)) => Ok(()),
        Err(error) => Err(Refusal::Radio(error)),
    }
}

impl Amendment {
    /// Makes the change and reads it back. A stop waits until that is done.
    ///
    /// # Errors
    ///
    /// [`Refusal`]; what was written before it stays, and the undo file puts it back.
    pub fn apply(
        &self,
        client: &mut Client<'_>,
        journal: &Journal,
        modem: &mut SameModem,
    ) -> Result<(), Refusal> {
        if client.is_stopped() {
            return Err(Refusal::Line(crate::at::ClientError::Stopped));
        }
        let guarded = client.guard(true);
        let done = self.make(client, journal, modem);
        client.guard(guarded);
        done
    }

    fn make(
        &self,
        client: &mut Client<'_>,
        journal: &Journal,
        modem: &mut SameModem,
    ) -> Result<(), Refusal> {
        if self.altered.is_empty() {
            return self.once(client, modem);
        }
        let contexts = contexts_before(client, &self.altered)?;
        for (altered, step) in self.altered.iter().zip(&self.steps) {
            let Some(target) = &altered.after else { continue };
            let hidden = step.command != step.shown;
            converge(client, modem, &altered.setting, target, hidden.then_some(step))?;
            if altered.setting == Setting::Functionality && target == "1" {
                journal.radio_is_on();
            }
        }
        if let Some(contexts) = contexts {
            put_back_strays(client, modem, &self.altered, &contexts)?;
        }
        if self.attaches { reattach(client, journal, modem) } else { Ok(()) }
    }

    /// Sends what is sent once and never again: a PIN.
    fn once(&self, client: &mut Client<'_>, modem: &mut SameModem) -> Result<(), Refusal> {
        for step in &self.steps {
            modem.check(client)?;
            let response = client.ask_as(&step.command, &step.shown)?;
            if let Some(refused) = refusal(&step.shown, &response) {
                return Err(Self::with_tries(client, refused));
            }
        }
        let state = client.ask("AT+CPIN?")?;
        if state.value("+CPIN") == Some("SIM PIN") {
            let refused = Refusal::NotTaken { name: "the PIN".into(), now: "asked again".into() };
            return Err(Self::with_tries(client, refused));
        }
        Ok(())
    }

    /// A refused PIN, with the tries that are left.
    fn with_tries(client: &mut Client<'_>, refused: Refusal) -> Refusal {
        match super::amend::pin_tries(client) {
            Ok(tries) => Refusal::PinRefused { refused: refused.to_string(), tries },
            Err(_) => refused,
        }
    }
}

/// The contexts before a change of one, because a byte lost on the line can name another.
pub(super) fn contexts_before(
    client: &mut Client<'_>,
    altered: &[Altered],
) -> Result<Option<BTreeMap<u8, String>>, Refusal> {
    let one = altered.iter().any(|a| matches!(a.setting, Setting::Context { .. }));
    one.then(|| super::setting::contexts(client)).transpose()
}

/// Gives every context that was not meant the value that it had before.
pub(super) fn put_back_strays(
    client: &mut Client<'_>,
    modem: &mut SameModem,
    altered: &[Altered],
    before: &BTreeMap<u8, String>,
) -> Result<(), Refusal> {
    let now = super::setting::contexts(client)?;
    let meant = |cid: u8| altered.iter().any(|a| a.setting == Setting::Context { context: cid });
    let all = before.keys().chain(now.keys()).copied().filter(|cid| !meant(*cid));
    for context in all.collect::<BTreeSet<u8>>() {
        let was = before.get(&context).map_or("", String::as_str);
        if now.get(&context).map_or("", String::as_str) != was {
            converge(client, modem, &Setting::Context { context }, was, None)?;
        }
    }
    Ok(())
}
