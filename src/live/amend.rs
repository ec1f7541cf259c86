//! One named change at a time: what is set, what will be, what it risks, and the way back.

use super::agreed::agreed;
use super::altered::Altered;
use super::refusal::Refusal;
use super::setting::Setting;
use super::values::values;
use crate::at::{Client, CommandResponse};

/// A change that can be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// Access point name and address type of a context, optionally its authentication.
    AccessPoint {
        /// Context number.
        context: u8,
        /// The name.
        name: String,
        /// `IP`, `IPV6`, `IPV4V6`; as it is where none is named.
        address: Option<String>,
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

/// A command of a change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// As it is sent.
    pub command: String,
    /// As it may be shown and written down.
    pub shown: String,
    /// The secret in it, which no read has to give back.
    pub secret: Option<String>,
}

impl Step {
    /// A command without a secret.
    pub(super) fn plain(command: String) -> Self {
        Self { shown: command.clone(), command, secret: None }
    }
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
    /// The settings, before and after.
    pub altered: Vec<Altered>,
    /// The commands, one for each setting.
    pub steps: Vec<Step>,
    /// Whether a fresh attach follows, where the radio is on.
    pub attaches: bool,
    /// What becomes of the link meanwhile, and what is at risk.
    pub risk: &'static str,
    /// Whether the link may drop.
    pub drops_link: bool,
}

/// The radio goes off and on.
const ATTACHES: &str = "The link is down from the write until the fresh attach is done: usually a minute, up to three. \
    If the network refuses the new setting the site stays offline until it is undone. A modem that refuses the write \
    while it is attached gets it between the two.";
/// The modem looks for a network anew.
const SEARCHES: &str = "The modem may leave its network and search: usually a minute, over all bands up to three. \
    If it finds none the site stays offline until it is undone.";
/// Nothing drops.
const NOTHING: &str = "The link stays as it is.";

impl Change {
    /// Reads what is set now and says what the change would do.
    ///
    /// # Errors
    ///
    /// [`Refusal`], with nothing changed.
    pub fn plan(&self, client: &mut Client<'_>) -> Result<Amendment, Refusal> {
        // A refusal gives its reason only then; it is put back with the other settings at the end.
        client.switch("+CMEE", "1")?;
        match self {
            Self::AccessPoint { context, name, address, login } => super::access_point::plan(
                client,
                *context,
                name,
                address.as_deref(),
                login.as_ref(),
            ),
            Self::Technology => super::radio::technology(client),
            Self::Band(number) => super::radio::band(client, *number),
            Self::Radio => {
                let now = Setting::Functionality.read(client)?;
                if now == "1" {
                    return Err(Refusal::Already("the radio is on".into()));
                }
                let told = format!("functionality level {now}");
                Amendment::one(Setting::Functionality, now, "1", told)
                    .becoming("level 1: the radio on; the antenna radiates")
                    .without_a_drop()
                    .because("the radio is held off")
            }
            Self::Network => {
                let now = Setting::Network.read(client)?;
                if now == "0" {
                    return Err(Refusal::Already("the network is chosen automatically".into()));
                }
                let told = match &*now {
                    "2" => "told to leave the network".to_owned(),
                    choice => format!("a network chosen by hand ({choice})"),
                };
                Amendment::one(Setting::Network, now, "0", told)
                    .becoming("automatic network choice (0)")
                    .because("a network that was chosen by hand cannot be reached, or none is looked for")
            }
            Self::Forbidden => {
                let now = Setting::Forbidden.read(client)?;
                let empty = "F".repeat(24);
                if now == empty {
                    return Err(Refusal::Already("the list is empty".into()));
                }
                let told = format!("the list has {now}");
                Amendment::one(Setting::Forbidden, now, &empty, told)
                    .becoming("an empty list")
                    .because("the card keeps the modem away from networks that once refused it")
            }
            Self::Usage => {
                let now = Setting::Usage.read(client)?;
                if matches!(&*now, "0" | "2") {
                    return Err(Refusal::Already("the modem is data-centric".into()));
                }
                let told = format!("usage mode {now}: voice first");
                Amendment::one(Setting::Usage, now, "2", told)
                    .becoming("usage mode 2: data first")
                    .because(
                        "a modem that puts voice first leaves a network that offers it no voice",
                    )
            }
            Self::Pin(pin) => enter_pin(client, pin),
        }
    }
}

impl Amendment {
    /// A change of one setting, with its way back; words follow.
    pub(super) fn one(setting: Setting, before: String, after: &str, now: String) -> Self {
        let steps = setting.write(after).map(Step::plain).into_iter().collect();
        Self {
            now,
            then: String::new(),
            why: "",
            altered: vec![Altered { setting, before, after: Some(after.to_owned()) }],
            steps,
            attaches: false,
            risk: SEARCHES,
            drops_link: true,
        }
    }

    /// What will be, in words.
    pub(super) fn becoming(mut self, then: &str) -> Self {
        then.clone_into(&mut self.then);
        self
    }

    /// Why one would do it; the last word on a change.
    #[expect(clippy::unnecessary_wraps, reason = "the last link of a chain that is a plan")]
    pub(super) fn because(mut self, why: &'static str) -> Result<Self, Refusal> {
        self.why = why;
        Ok(self)
    }

    /// The link stays as it is.
    fn without_a_drop(mut self) -> Self {
        self.drops_link = false;
        self.risk = NOTHING;
        self
    }

    /// A fresh attach follows.
    pub(super) fn with_attach(mut self) -> Self {
        self.attaches = true;
        self.risk = ATTACHES;
        self
    }

    /// Every command in order, as it may be shown.
    pub fn shown(&self) -> Vec<String> {
        self.steps.iter().map(|s| s.shown.clone()).chain(self.attach()).collect()
    }

    /// The commands that undo it, in order; empty where it cannot be undone.
    pub fn undo(&self) -> Vec<String> {
        let back: Vec<String> =
            self.altered.iter().filter_map(|a| a.setting.write(&a.before)).collect();
        if back.is_empty() { back } else { back.into_iter().chain(self.attach()).collect() }
    }

    fn attach(&self) -> impl Iterator<Item = String> {
        ["AT+CFUN=4", "AT+CFUN=1"].into_iter().map(str::to_owned).filter(|_| self.attaches)
    }
}

pub(super) fn ask(client: &mut Client<'_>, command: &str) -> Result<CommandResponse, Refusal> {
    let response = client.ask(command)?;
    if response.is_ok() { Ok(response) } else { Err(Refusal::Unreadable(command.into())) }
}

/// How many PIN tries are left, in two reads that agree.
pub(super) fn pin_tries(client: &mut Client<'_>) -> Result<u8, Refusal> {
    // The standard's read (TS 27.007 §8.73), and a vendor's for modems without it.
    for command in ["AT+CPINR", "AT+QPINC?"] {
        let left = |response: &CommandResponse| {
            values(command, response).card.pin_tries.latest().map(|o| o.value)
        };
        if let Some(tries) = agreed(client, command, left)? {
            return Ok(tries);
        }
    }
    Err(Refusal::Impossible(
        "how many PIN tries are left cannot be read, so none is used; nothing was changed".into(),
    ))
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
    let tries = pin_tries(client)?;
    if tries < 2 {
        return Err(Refusal::TriesLow(tries));
    }
    Ok(Amendment {
        now: format!("the card waits for its PIN; {tries} tries are left"),
        then: "the PIN entered once; it is not stored anywhere".into(),
        why: "until its PIN is given the card shows no subscriber",
        altered: Vec::new(),
        steps: vec![Step {
            command: format!("AT+CPIN=\"{pin}\""),
            shown: "AT+CPIN=\"****\"".into(),
            secret: Some(pin.to_owned()),
        }],
        attaches: false,
        risk: NOTHING,
        drops_link: false,
    })
}
