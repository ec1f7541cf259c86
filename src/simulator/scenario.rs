//! Scenario files: the state of card, modem and network at the start, and what goes wrong.

use super::fault::Fault;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::path::Path;
use std::time::Duration;

/// A scenario.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Scenario {
    /// One line on what it is.
    pub title: String,
    /// Who sits at this site, and what happened.
    pub story: String,
    /// The finding that `examine` should come to.
    pub finding: String,
    /// The card.
    #[serde(default)]
    pub card: Card,
    /// The modem.
    #[serde(default)]
    pub modem: Device,
    /// The network.
    #[serde(default)]
    pub network: Network,
    /// What disturbs the line.
    #[serde(default)]
    pub fault: Vec<Fault>,
}

/// The state of a card.
#[derive(Clone, Copy, Debug, Deserialize, schemars::JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum CardState {
    /// Ready.
    Ready,
    /// It asks for its PIN.
    Pin,
    /// It asks for its PUK.
    Puk,
    /// There is none.
    None,
    /// It cannot be read.
    Failure,
    /// It is busy, for good.
    Busy,
}

/// What speaks at a port of a modem.
#[derive(Clone, Copy, Debug, Deserialize, schemars::JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum PortRole {
    /// It answers AT.
    At,
    /// Position sentences come from it.
    Positions,
    /// It answers nothing.
    Silent,
}

/// The card at the start.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Card {
    /// Its state.
    pub state: CardState,
    /// How long it is busy behind a start of the modem, ms.
    pub busy_ms: u64,
    /// Its PIN.
    pub pin: String,
    /// PIN tries left.
    pub tries: u8,
    /// Subscriber number.
    pub imsi: String,
    /// Card number.
    pub iccid: String,
    /// Group identifier 1, hexadecimal digits; the card has none where empty.
    pub group: String,
    /// The provider's name; the card has none where empty.
    pub provider: String,
    /// Forbidden networks.
    pub forbidden: Vec<String>,
}

impl Default for Card {
    fn default() -> Self {
        Self {
            state: CardState::Ready,
            busy_ms: 0,
            pin: "0000".into(),
            tries: 3,
            imsi: "001010000012345".into(),
            iccid: "8988000000000000016".into(),
            group: String::new(),
            provider: String::new(),
            forbidden: Vec::new(),
        }
    }
}

/// The modem at the start.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Device {
    /// Functionality level.
    pub functionality: u8,
    /// Whether commands are echoed.
    pub echo: bool,
    /// Whether results come as words, not as numbers.
    pub verbose: bool,
    /// Whether results are switched off (`ATQ1`), at the start and behind each restart.
    pub quiet: bool,
    /// So much later, ms, every result comes a second time; once only where 0.
    pub doubled_ms: u64,
    /// Network choice: 0 automatic, 1 manual, 2 deregistered.
    pub choice: u8,
    /// The network that is chosen by hand.
    pub chosen: String,
    /// Usage mode of `+CEMODE`.
    pub usage: u8,
    /// Equipment number.
    pub imei: String,
    /// Contexts: number, address type, access point name.
    pub contexts: Vec<(u8, String, String)>,
    /// How long an ordinary answer takes, ms.
    pub delay_ms: u64,
    /// How long single commands take, ms.
    pub slow_ms: BTreeMap<String, u64>,
    /// Lines that come by themselves after each command of a number.
    pub unsolicited: Vec<String>,
    /// The vendor's own settings that commands read and write, by command and key:
    /// `+QCFG="band"`, `+CNMP`.
    pub stored: BTreeMap<String, String>,
    /// So much longer the first answer takes, ms.
    pub first_answer_ms: u64,
    /// Whether the modem was switched on a moment ago: its card may be busy, and it searches.
    pub just_started: bool,
    /// How long a start takes, ms: a restart that was ordered, and one of a moment ago.
    pub restart_ms: u64,
    /// Commands, by their beginning, and the line that refuses them; an empty one is silence.
    pub refuse: BTreeMap<String, String>,
    /// How often each of them is refused; always where 0.
    pub refuse_times: u32,
    /// Whether it restarts when its radio is switched on (`+CFUN=1`).
    pub restarts_at_full: bool,
    /// Whether it begins at the functionality level of the scenario behind a restart, and not at 1.
    pub keeps_level: bool,
    /// Whether it refuses to change a context while its radio is on.
    pub locks_contexts: bool,
    /// Whether `+COPS?` gives the network that was chosen by hand while it is searched for.
    pub shows_choice: bool,
    /// The ports of the modem; those that answer AT share its state, and over TCP the first serves alone.
    pub ports: Vec<PortRole>,
    /// Commands that stay unanswered behind a restart, as while a modem starts.
    pub silent_after_restart: u32,
    /// Further commands and the lines that answer them (vendor command sets); `{rsrp}` is the level at
    /// this reading, `{rsrp+102}` for the level and so many dB.
    pub replies: BTreeMap<String, Vec<String>>,
}

impl Default for Device {
    fn default() -> Self {
        Self {
            functionality: 1,
            echo: true,
            verbose: true,
            quiet: false,
            doubled_ms: 0,
            choice: 0,
            chosen: String::new(),
            usage: 2,
            imei: "004999010640000".into(),
            contexts: vec![(1, "IPV4V6".into(), "gauge.example".into())],
            delay_ms: 5,
            slow_ms: BTreeMap::new(),
            unsolicited: Vec::new(),
            stored: BTreeMap::new(),
            first_answer_ms: 0,
            just_started: false,
            restart_ms: 0,
            refuse: BTreeMap::new(),
            refuse_times: 0,
            restarts_at_full: false,
            keeps_level: false,
            locks_contexts: false,
            shows_choice: false,
            ports: vec![PortRole::At],
            silent_after_restart: 0,
            replies: BTreeMap::new(),
        }
    }
}

/// The network.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Network {
    /// Whether any cell is heard.
    pub heard: bool,
    /// The E-UTRA band that it is heard on; any where none is named.
    pub band: Option<u16>,
    /// Its code.
    pub plmn: String,
    /// The cause that it refuses the attach with.
    pub emm_cause: Option<u8>,
    /// The cause that it refuses the session with.
    pub esm_cause: Option<u8>,
    /// The access point name that it knows; any where empty.
    pub access_point: String,
    /// Level of the reference signal, dBm.
    pub rsrp_dbm: f64,
    /// Levels that follow each other, one a reading, from the first again behind the last, dBm; the
    /// steady level where empty.
    pub rsrp_dbm_in_turn: Vec<f64>,
    /// Its quality, dB.
    pub rsrq_db: f64,
    /// So many reads of the state behind a fresh attach or a restart say that it is searched for.
    pub searching_reads: u32,
    /// How long the search behind a start or a fresh attach takes, ms.
    pub attach_after_ms: u64,
    /// The address that it gives.
    pub address: String,
    /// Whether a refusal shows its cause in `+CEREG=3`.
    pub tells_cause: bool,
    /// Times without service.
    pub outage: Vec<Outage>,
}

/// A time in which the network does not serve, counted from the start of the simulated modem.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Outage {
    /// When it begins, s.
    pub after_s: u64,
    /// How long it lasts, s.
    pub lasts_s: u64,
    /// After how long it comes again, s; once only where absent.
    #[serde(default)]
    pub every_s: Option<u64>,
    /// The cause that the network refuses the attach with; no cell is heard where absent.
    #[serde(default)]
    pub emm_cause: Option<u8>,
}

impl Outage {
    /// Whether it is at this time.
    pub(super) fn is_at(&self, now: Duration) -> bool {
        let Some(since) = now.checked_sub(Duration::from_secs(self.after_s)) else { return false };
        let place = match self.every_s.filter(|every| *every > 0) {
            Some(every) => Duration::from_millis(
                u64::try_from(since.as_millis() % (u128::from(every) * 1000)).unwrap_or(u64::MAX),
            ),
            None => since,
        };
        place < Duration::from_secs(self.lasts_s)
    }

    /// When it next begins or ends behind a time.
    pub(super) fn next_change(&self, now: Duration) -> Option<Duration> {
        let first = Duration::from_secs(self.after_s);
        let Some(since) = now.checked_sub(first) else { return Some(first) };
        let (rounds, every) = match self.every_s.filter(|every| *every > 0) {
            Some(every) => (since.as_secs() / every, every),
            None => (0, 0),
        };
        let begin = first + Duration::from_secs(rounds * every);
        let end = begin + Duration::from_secs(self.lasts_s);
        if now < end {
            return Some(end);
        }
        (every > 0).then(|| begin + Duration::from_secs(every))
    }
}

impl Default for Network {
    fn default() -> Self {
        Self {
            heard: true,
            band: None,
            plmn: "00101".into(),
            emm_cause: None,
            esm_cause: None,
            access_point: String::new(),
            rsrp_dbm: -93.0,
            rsrp_dbm_in_turn: Vec::new(),
            rsrq_db: -9.5,
            searching_reads: 0,
            attach_after_ms: 0,
            address: "192.0.2.44".into(),
            tells_cause: true,
            outage: Vec::new(),
        }
    }
}

/// Why a scenario cannot be used.
#[derive(Debug, thiserror::Error)]
#[error("{file}: {problem}")]
pub struct ScenarioError {
    /// The file.
    pub file: String,
    /// What is wrong, with the line where it is known.
    pub problem: String,
}

impl Scenario {
    /// Reads a scenario file.
    ///
    /// # Errors
    ///
    /// [`ScenarioError`] where it cannot be read or is no scenario.
    pub fn load(path: &Path) -> Result<Self, ScenarioError> {
        let file = path.display().to_string();
        let text = std::fs::read_to_string(path)
            .map_err(|e| ScenarioError { file: file.clone(), problem: e.to_string() })?;
        Self::parse(&text).map_err(|problem| ScenarioError { file, problem })
    }

    /// Reads a scenario from its text.
    ///
    /// # Errors
    ///
    /// What is wrong, with the line.
    pub fn parse(text: &str) -> Result<Self, String> {
        toml::from_str(text).map_err(|e| e.to_string())
    }
}
