//! Making a change: written, read back until it is so, and the fresh attach that it needs; only ever
//! at the modem that it was planned for.

use super::amend::{Amendment, Step};
use super::cycle_error::CycleError;
use super::journal::Journal;
use super::radio_cycle::cycle;
use super::refusal::Refusal;
use super::same_modem::SameModem;
use super::setting::Setting;
use super::strays::Strays;
use super::strict::whole_fields;
use crate::at::{Client, ResultCode};
use crate::reference::errors::cme;

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
        let now = read_now(client, setting)?;
        modem.check(client)?;
        if now.as_deref() == Some(target) && (sent || step.is_none()) {
            return Ok(());
        }
        if let Some(refused) = refused.take() {
            return Err(refused);
        }
        let Some(step) = step.or(own.as_ref()) else {
            return Err(not_taken(setting, now));
        };
        modem.check(client)?;
        let response = client.ask_as(&step.command, &step.shown)?;
        sent |= response.result != ResultCode::Interrupted && !is_echoed_damaged(&response);
        refused = refusal(&step.shown, &response);
    }
    let now = read_now(client, setting)?;
    modem.check(client)?;
    match refused {
        _ if now.as_deref() == Some(target) => Ok(()),
        Some(refused) => Err(refused),
        None => Err(not_taken(setting, now)),
    }
}

/// What a setting is now; `None` where it cannot be read, as where a damaged command left it in a form
/// of no clause: that is not what was asked, and is written again.
pub(super) fn read_now(
    client: &mut Client<'_>,
    setting: &Setting,
) -> Result<Option<String>, Refusal> {
    match setting.read(client) {
        Ok(now) => Ok(Some(now)),
        Err(Refusal::Unreadable(_)) => Ok(None),
        Err(error) => Err(error),
    }
}

fn not_taken(setting: &Setting, now: Option<String>) -> Refusal {
    let now = now.unwrap_or_else(|| "nothing that can be read".into());
    Refusal::NotTaken { name: setting.name(), now }
}

/// Whether the modem echoed another command than was sent: a byte was lost on the way to it, or back.
fn is_echoed_damaged(response: &crate::at::CommandResponse) -> bool {
    // A command that writes has no information text; a whole echo is left out already.
    response
        .lines
        .iter()
        .any(|line| line.contains('=') || line.to_ascii_uppercase().contains("AT+"))
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

/// What is written before a fresh attach.
pub(super) type Write<'w> = dyn FnMut(&mut Client<'_>, &mut SameModem) -> Result<(), Refusal> + 'w;

/// Writes, then makes a fresh attach: the radio off and on, where it is on. Some modems refuse a context
/// while they are attached: then it is written while the radio is off.
///
/// # Errors
///
/// What the writing came to, or [`Refusal::Radio`]; where the radio may be off it says so.
pub(super) fn write_and_attach(
    client: &mut Client<'_>,
    journal: &Journal,
    modem: &mut SameModem,
    write: &mut Write<'_>,
) -> Result<(), Refusal> {
    let mut written = write(client, modem);
    let refused = matches!(written, Err(Refusal::Refused(..)));
    if !refused {
        written?;
        written = Ok(());
    }
    let mut between = |client: &mut Client<'_>, modem: &mut SameModem| {
        if refused {
            written = write(client, modem);
        }
    };
    match cycle(client, journal, Some(modem), Some(&mut between)) {
        // What is off stays off; the change counts from the next attach on.
        Ok(()) | Err(CycleError::WasOff(_)) => written,
        Err(error) => Err(Refusal::Radio(error)),
    }
}

/// What was made, and how far it was proved.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Applied {
    /// What was written and taken without an error, and cannot be read back; empty where every value
    /// was read back as it was asked.
    pub not_proved: Vec<String>,
}

impl Amendment {
    /// Makes the change and reads back exactly what was asked. A stop waits until that is done.
    ///
    /// # Errors
    ///
    /// [`Refusal`]; what was written before it stays, and the undo file puts it back.
    pub fn apply(
        &self,
        client: &mut Client<'_>,
        journal: &Journal,
        modem: &mut SameModem,
    ) -> Result<Applied, Refusal> {
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
    ) -> Result<Applied, Refusal> {
        if self.altered.is_empty() {
            return self.once(client, modem);
        }
        let mut applied = Applied::default();
        let strays = Strays::before(client, &self.altered)?;
        let mut write = |client: &mut Client<'_>, modem: &mut SameModem| {
            applied.not_proved.clear();
            for (altered, step) in self.altered.iter().zip(&self.steps) {
                let Some(target) = &altered.after else { continue };
                let hidden = step.secret.as_deref();
                converge(client, modem, &altered.setting, target, hidden.and(Some(step)))?;
                if let (Setting::Login { context }, Some(password)) = (&altered.setting, hidden)
                    && !password_is_read_back(client, *context, password)?
                {
                    applied.not_proved.push(format!("the password of context {context}"));
                }
                if altered.setting == Setting::Functionality && target == "1" {
                    journal.radio_is_on();
                }
            }
            strays.put_back(client, modem, &self.altered)
        };
        if self.attaches {
            write_and_attach(client, journal, modem, &mut write)?;
        } else {
            write(client, modem)?;
        }
        Ok(applied)
    }

    /// Whether every setting reads as it was before, so that there is nothing to put back.
    pub fn is_untouched(&self, client: &mut Client<'_>) -> bool {
        self.altered.iter().all(|altered| {
            matches!(read_now(client, &altered.setting), Ok(Some(now)) if now == altered.before)
        })
    }

    /// Sends what is sent once and never again: a PIN. The card may be busy with it for a while.
    fn once(&self, client: &mut Client<'_>, modem: &mut SameModem) -> Result<Applied, Refusal> {
        for step in &self.steps {
            modem.check(client)?;
            let response = client.ask_as(&step.command, &step.shown)?;
            if let Some(refused) = refusal(&step.shown, &response) {
                return Err(Self::with_tries(client, refused));
            }
        }
        let state = super::card::ask_behind_pin(client)?;
        match state.value("+CPIN") {
            Some("READY") => Ok(Applied::default()),
            Some(waits) if waits.starts_with("SIM PIN") || waits.starts_with("SIM PUK") => {
                let refused = Refusal::NotTaken { name: "the PIN".into(), now: waits.to_owned() };
                Err(Self::with_tries(client, refused))
            }
            _ => Ok(Applied {
                not_proved: vec!["the PIN: the card's state could not be read".into()],
            }),
        }
    }

    /// A refused PIN, with the tries that are left.
    fn with_tries(client: &mut Client<'_>, refused: Refusal) -> Refusal {
        match super::amend::pin_tries(client) {
            Ok(tries) => Refusal::PinRefused { refused: refused.to_string(), tries },
            Err(_) => refused,
        }
    }
}

/// Whether the modem shows the password of a context, and shows this one; most show none.
fn password_is_read_back(
    client: &mut Client<'_>,
    context: u8,
    password: &str,
) -> Result<bool, Refusal> {
    let response = client.ask("AT+CGAUTH?")?;
    let rows = response.values("+CGAUTH").filter_map(whole_fields);
    let own =
        rows.filter(|row| row[0].small() == Some(context)).find_map(|row| row.get(3).copied());
    match own.map(|field| field.text) {
        Some(shown) if shown == password => Ok(true),
        // Stars, or nothing, stand for any password.
        None => Ok(false),
        Some(shown) if shown.chars().all(|c| c == '*') => Ok(false),
        Some(_) => Err(Refusal::NotTaken {
            name: format!("the password of context {context}"),
            now: "another one".into(),
        }),
    }
}
