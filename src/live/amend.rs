//! One named change at a time: what is, what will be, how to undo it, and the proof of its effect.

use super::values::{has_address, status, values};
use crate::at::{Client, ClientError, CommandResponse, ResultCode};
use crate::reference::errors::cme;
use crate::response::fields;
use crate::rules::RegistrationStatus;
use serde::{Deserialize, Serialize};
use std::time::Duration;

/// A change that can be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// Access point name and address type of a context, optionally its authentication.
    AccessPoint {
        /// Context number.
        context: u8,
        /// The name.
        name: String,
        /// `IP`, `IPV6`, `IPV4V6`.
        address: String,
        /// Who logs in there, where the carrier asks for it.
        login: Option<Login>,
    },
    /// The radio on.
    Radio,
    /// Automatic network choice.
    Network,
    /// The card's list of forbidden networks emptied.
    Forbidden,
    /// The choice of radio technology freed.
    Technology,
    /// An E-UTRA band switched on.
    Band(u16),
    /// Data-centric usage.
    Usage,
    /// The SIM's PIN entered once.
    Pin(String),
}

/// User name and password of a context (TS 27.007 §10.1.31).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Login {
    /// 1 for PAP, 2 for CHAP.
    pub protocol: u8,
    /// The user name.
    pub user: String,
    /// The password; it stands in no recording and no undo file.
    pub password: String,
}

/// What a change would do to this modem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Amendment {
    /// What is set now, in words.
    pub now: String,
    /// What will be, in words.
    pub then: String,
    /// Why one would do it.
    pub why: &'static str,
    /// The commands, in order.
    pub commands: Vec<String>,
    /// The commands as they may be shown and written down.
    pub shown: Vec<String>,
    /// The commands that undo it; empty where it cannot be undone.
    pub undo: Vec<String>,
    /// Whether the link drops meanwhile.
    pub drops_link: bool,
}

/// Why a change is not made.
#[derive(Debug, thiserror::Error)]
pub enum Refusal {
    /// The line.
    #[error(transparent)]
    Line(#[from] ClientError),
    /// What is set now cannot be read, so it could not be undone.
    #[error(
        "what is set now cannot be read ({0}), so the change could not be undone; nothing was changed"
    )]
    Unreadable(String),
    /// It is so already.
    #[error("it is so already: {0}; nothing was changed")]
    Already(String),
    /// The last PIN try.
    #[error(
        "only {0} PIN tries are left, and the last one is never used; ask the account holder for the PIN and the carrier for the PUK"
    )]
    TriesLow(u8),
    /// What was asked cannot be.
    #[error("{0}")]
    Impossible(String),
    /// The modem refused a command.
    #[error("the modem refused {0}: {1}")]
    Refused(String, String),
}

/// The file that undoes a change.
#[derive(Clone, Debug, Serialize, Deserialize, PartialEq, Eq)]
pub struct Undo {
    /// When the change was made.
    pub made: String,
    /// What was changed, in words.
    pub change: String,
    /// The commands that put it back.
    pub commands: Vec<String>,
}

impl Change {
    /// Reads what is set now and says what the change would do.
    ///
    /// # Errors
    ///
    /// [`Refusal`], with nothing changed.
    pub fn plan(&self, client: &mut Client<'_>) -> Result<Amendment, Refusal> {
        match self {
            Self::AccessPoint { context, name, address, login } => {
                super::access_point::plan(client, *context, name, address, login.as_ref())
            }
            Self::Technology => super::radio::technology(client),
            Self::Band(number) => super::radio::band(client, *number),
            Self::Radio => {
                let now = number(client, "AT+CFUN?", "+CFUN")?;
                if now == 1 {
                    return Err(Refusal::Already("the radio is on".into()));
                }
                Ok(plain(
                    format!("functionality level {now}"),
                    "level 1: the radio on; the antenna radiates".into(),
                    "the radio is held off",
                    vec!["AT+CFUN=1".into()],
                    vec![format!("AT+CFUN={now}")],
                ))
            }
            Self::Network => {
                let answer = ask(client, "AT+COPS?")?;
                let value = answer
                    .value("+COPS")
                    .ok_or_else(|| Refusal::Unreadable("AT+COPS?".into()))?
                    .to_owned();
                let row = fields(&value, 0);
                if row.first().is_some_and(|f| f.text == "0") {
                    return Err(Refusal::Already("the network is chosen automatically".into()));
                }
                let texts: Vec<&str> = row.iter().map(|f| f.text).collect();
                let back = match texts.as_slice() {
                    ["2", ..] => vec!["AT+COPS=2".into()],
                    ["1" | "4", "2", plmn, ..] => vec![format!("AT+COPS=1,2,\"{plmn}\"")],
                    _ => Vec::new(),
                };
                Ok(plain(
                    format!("network choice {value}"),
                    "automatic network choice (0)".into(),
                    "a network that was chosen by hand cannot be reached, or none is looked for",
                    vec!["AT+COPS=0".into()],
                    back,
                ))
            }
            Self::Forbidden => {
                let answer = ask(client, "AT+CRSM=176,28539,0,0,12")?;
                let hex = answer
                    .value("+CRSM")
                    .and_then(|v| v.strip_prefix("144,0,"))
                    .map(|v| v.trim_matches('"').to_owned())
                    .filter(|h| h.len() == 24)
                    .ok_or_else(|| {
                        Refusal::Unreadable("the card's list of forbidden networks".into())
                    })?;
                if hex.bytes().all(|b| b.eq_ignore_ascii_case(&b'F')) {
                    return Err(Refusal::Already("the list is empty".into()));
                }
                let write = |h: &str| format!("AT+CRSM=214,28539,0,0,12,\"{h}\"");
                Ok(plain(
                    format!("the list holds {hex}"),
                    "an empty list".into(),
                    "the card keeps the modem away from networks that once refused it",
                    vec![write(&"F".repeat(24))],
                    vec![write(&hex)],
                ))
            }
            Self::Usage => {
                let now = number(client, "AT+CEMODE?", "+CEMODE")?;
                if matches!(now, 0 | 2) {
                    return Err(Refusal::Already("the modem is data-centric".into()));
                }
                Ok(plain(
                    format!("usage mode {now}: voice first"),
                    "usage mode 2: data first".into(),
                    "a modem that puts voice first leaves a network that offers it no voice",
                    vec!["AT+CEMODE=2".into()],
                    vec![format!("AT+CEMODE={now}")],
                ))
            }
            Self::Pin(pin) => enter_pin(client, pin),
        }
    }
}

pub(super) fn plain(
    now: String,
    then: String,
    why: &'static str,
    commands: Vec<String>,
    undo: Vec<String>,
) -> Amendment {
    Amendment { now, then, why, shown: commands.clone(), commands, undo, drops_link: true }
}

pub(super) fn ask(client: &mut Client<'_>, command: &str) -> Result<CommandResponse, Refusal> {
    let answer = client.ask(command)?;
    if answer.is_ok() { Ok(answer) } else { Err(Refusal::Unreadable(command.into())) }
}

fn number(client: &mut Client<'_>, command: &str, head: &str) -> Result<u8, Refusal> {
    let answer = ask(client, command)?;
    let value = answer.rows(head).next().and_then(|row| row.first()?.small());
    value.ok_or_else(|| Refusal::Unreadable(command.into()))
}

fn enter_pin(client: &mut Client<'_>, pin: &str) -> Result<Amendment, Refusal> {
    if !(4..=8).contains(&pin.len()) || !pin.bytes().all(|b| b.is_ascii_digit()) {
        return Err(Refusal::Impossible("a PIN has four to eight digits".into()));
    }
    let state = ask(client, "AT+CPIN?")?;
    match state.value("+CPIN") {
        Some("SIM PIN") => {}
        Some("READY") => return Err(Refusal::Already("the card asks for no PIN".into())),
        Some(other) => {
            return Err(Refusal::Impossible(format!(
                "the card waits for {}, not for its PIN",
                crate::sanitize::plain(other)
            )));
        }
        None => return Err(Refusal::Unreadable("AT+CPIN?".into())),
    }
    let answer = client.ask("AT+CPINR")?;
    let tries = values("AT+CPINR", &answer)
        .card
        .pin_tries
        .latest()
        .map(|o| o.value)
        .ok_or_else(|| Refusal::Unreadable("how many PIN tries are left".into()))?;
    if tries < 2 {
        return Err(Refusal::TriesLow(tries));
    }
    Ok(Amendment {
        now: format!("the card waits for its PIN; {tries} tries are left"),
        then: "the PIN entered once; it is not stored anywhere".into(),
        why: "until its PIN is given the card shows no subscriber",
        commands: vec![format!("AT+CPIN=\"{pin}\"")],
        shown: vec!["AT+CPIN=\"****\"".into()],
        undo: Vec::new(),
        drops_link: false,
    })
}

impl Amendment {
    /// Makes the change.
    ///
    /// # Errors
    ///
    /// [`Refusal::Refused`] where the modem refuses a command; those before it are in effect.
    pub fn apply(&self, client: &mut Client<'_>) -> Result<(), Refusal> {
        for (command, shown) in self.commands.iter().zip(&self.shown) {
            let answer = client.ask_as(command, shown)?;
            match answer.result {
                ResultCode::Ok => {}
                ResultCode::Error(words) => {
                    let number =
                        words.rsplit(':').next().and_then(|n| n.trim().parse().ok()).and_then(cme);
                    let meaning = number.map_or_else(String::new, |e| format!(" ({})", e.text));
                    return Err(Refusal::Refused(shown.clone(), format!("{words}{meaning}")));
                }
                ResultCode::Silent | ResultCode::Interrupted => {
                    return Err(Refusal::Refused(shown.clone(), "no answer".into()));
                }
            }
        }
        Ok(())
    }

    /// The file that undoes it.
    pub fn undo_file(&self, made: String) -> Undo {
        Undo {
            made,
            change: format!("{} became {}", self.now, self.then),
            commands: self.undo.clone(),
        }
    }
}

/// Waits until the modem is registered for data and has an address, at most `patience`; says
/// whether it came so far.
///
/// # Errors
///
/// As [`Client::ask`].
pub(super) fn wait_for_address(
    client: &mut Client<'_>,
    most: Duration,
) -> Result<bool, ClientError> {
    let until = client.now() + most;
    loop {
        let state = client.ask("AT+CEREG?")?;
        if status("AT+CEREG?", &state) == Some(RegistrationStatus::Registered) {
            let address = client.ask("AT+CGPADDR")?;
            if has_address(&address) {
                return Ok(true);
            }
        }
        if client.now() > until {
            return Ok(false);
        }
        client.listen(Duration::from_millis(500))?;
    }
}

impl Client<'_> {
    /// Waits until the modem is registered for data and has an address.
    ///
    /// # Errors
    ///
    /// As [`Client::ask`].
    pub fn wait_for_address(&mut self, most: Duration) -> Result<bool, ClientError> {
        wait_for_address(self, most)
    }
}
