//! The simulated modem: its settings, what they make of the network, and restarts.

use super::scenario::{CardState, Scenario};
use std::collections::BTreeMap;
use std::time::Duration;

/// Everything that commands can change; compared before and after a read-only run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Echo.
    pub echo: bool,
    /// Results as words (`ATV1`) or numbers.
    pub verbose: bool,
    /// Results switched off (`ATQ1`).
    pub quiet: bool,
    /// Form of errors (`+CMEE`).
    pub errors: u8,
    /// Report modes by command: `+CEREG` and its like.
    pub reports: BTreeMap<String, String>,
    /// Functionality level.
    pub functionality: u8,
    /// Network choice.
    pub choice: u8,
    /// The network that is chosen by hand.
    pub chosen: String,
    /// Usage mode.
    pub usage: u8,
    /// Contexts by number: address type, access point name.
    pub contexts: BTreeMap<u8, (String, String)>,
    /// The vendor's own settings, by command and key.
    pub stored: BTreeMap<String, String>,
    /// Authentication by context: protocol and user.
    pub logins: BTreeMap<u8, (u8, String)>,
    /// Passwords by context; no response shows them.
    pub passwords: BTreeMap<u8, String>,
    /// Whether packet service is attached by command.
    pub attach_wanted: bool,
    /// Forbidden networks of the card.
    pub forbidden: Vec<String>,
    /// State of the card.
    pub card: CardState,
    /// PIN tries left.
    pub tries: u8,
}

/// The simulated modem.
#[derive(Clone, Debug)]
pub struct Modem {
    pub(super) scenario: Scenario,
    pub(super) settings: Settings,
    /// The access point name of the last attempt to attach.
    pub(super) tried_name: String,
    /// The last session refusal, which `+CEER` reports.
    pub(super) last_esm: Option<u8>,
    pub(super) line: Vec<u8>,
    pub(super) received: Vec<u8>,
    pub(super) commands: Vec<String>,
    pub(super) sent: usize,
    pub(super) stalled: bool,
    pub(super) gone: bool,
    pub(super) next_unsolicited: usize,
    /// Levels that were read so far.
    levels_read: usize,
    /// Reads of the state that still say that it searches.
    searching: u32,
    /// Commands that still stay unanswered.
    pub(super) silent: u32,
    /// The time by the line's clock.
    pub(super) now: Duration,
    /// Until when the modem starts and hears nothing.
    pub(super) starts_until: Duration,
    /// When a start that is under way ends, and the modem says so.
    pub(super) ready_at: Option<Duration>,
    /// When the search that is under way finds the network.
    pub(super) found_at: Option<Duration>,
    /// The state that was last reported or seen by itself.
    pub(super) reported: Option<(u8, Option<u8>)>,
    /// Until when the card is busy behind a start.
    pub(super) busy_until: Duration,
    /// How often each command was refused so far.
    pub(super) refused: BTreeMap<String, u32>,
    /// Bytes that came in so far.
    pub(super) arrived: usize,
    /// Whether another modem comes back with the line.
    pub(super) swaps: bool,
    /// The settings at the moment when another modem came onto the line.
    pub(super) swapped: Option<Settings>,
}

impl Modem {
    /// A modem as the scenario begins.
    pub fn new(scenario: Scenario) -> Self {
        let d = &scenario.modem;
        let settings = Settings {
            echo: d.echo,
            verbose: d.verbose,
            quiet: d.quiet,
            errors: 0,
            reports: BTreeMap::new(),
            functionality: d.functionality,
            choice: d.choice,
            chosen: d.chosen.clone(),
            usage: d.usage,
            contexts: d
                .contexts
                .iter()
                .map(|(cid, kind, name)| (*cid, (kind.clone(), name.clone())))
                .collect(),
            stored: d.stored.clone(),
            logins: BTreeMap::new(),
            passwords: BTreeMap::new(),
            attach_wanted: true,
            forbidden: scenario.card.forbidden.clone(),
            card: scenario.card.state,
            tries: scenario.card.tries,
        };
        let mut modem = Self {
            scenario,
            settings,
            tried_name: String::new(),
            last_esm: None,
            line: Vec::new(),
            received: Vec::new(),
            commands: Vec::new(),
            sent: 0,
            stalled: false,
            gone: false,
            next_unsolicited: 0,
            levels_read: 0,
            searching: 0,
            silent: 0,
            now: Duration::ZERO,
            starts_until: Duration::ZERO,
            ready_at: None,
            found_at: None,
            reported: None,
            busy_until: Duration::ZERO,
            refused: BTreeMap::new(),
            arrived: 0,
            swaps: false,
            swapped: None,
        };
        if modem.scenario.modem.just_started {
            let ms = modem.scenario.modem.restart_ms;
            modem.start(ms);
            modem.ready_at = (ms > 0).then_some(modem.starts_until);
        }
        modem.attach();
        modem
    }

    /// What commands can change, as it stands.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// The settings of another modem at the moment when it came onto the line; `None` where it is the
    /// first one still.
    pub fn of_another(&self) -> Option<&Settings> {
        self.swapped.as_ref()
    }

    /// Every byte that came in.
    pub fn received(&self) -> &[u8] {
        &self.received
    }

    /// How many bytes it sent.
    pub const fn sent_bytes(&self) -> usize {
        self.sent
    }

    /// A fault that counts its bytes from here on.
    pub fn disturb(&mut self, fault: super::fault::Fault) {
        (self.sent, self.arrived) = (0, 0);
        self.scenario.fault = vec![fault];
    }

    /// The line is undisturbed from here on, and its clock begins anew.
    pub fn calm(&mut self) {
        self.scenario.fault.clear();
        self.scenario.modem.refuse.clear();
        (self.gone, self.stalled, self.swaps) = (false, false, false);
        (self.found_at, self.ready_at) = (None, None);
        (self.now, self.starts_until, self.busy_until) =
            (Duration::ZERO, Duration::ZERO, Duration::ZERO);
        self.line.clear();
    }

    /// Every command that came in, in order.
    pub fn commands(&self) -> &[String] {
        &self.commands
    }

    /// An attempt to attach with the settings as they stand.
    pub(super) fn attach(&mut self) {
        self.tried_name = self.settings.contexts.get(&1).map(|c| c.1.clone()).unwrap_or_default();
        self.last_esm = if self.registration().0 == 3 { self.session_cause() } else { None };
    }

    /// The cause with which the session of the last attempt is refused.
    pub(super) fn session_cause(&self) -> Option<u8> {
        let n = &self.scenario.network;
        if let Some(cause) = n.esm_cause {
            return Some(cause);
        }
        (!n.access_point.is_empty() && n.access_point != self.tried_name).then_some(27)
    }

    /// The level of the reference signal at this reading, dBm; the next reading may have another.
    pub(super) fn level(&mut self) -> f64 {
        let n = &self.scenario.network;
        let level = match n.rsrp_dbm_in_turn.len() {
            0 => n.rsrp_dbm,
            count => n.rsrp_dbm_in_turn[self.levels_read % count],
        };
        self.levels_read += 1;
        level
    }

    /// Whether a cell is heard: there is one, and its band is switched on where the modem keeps a
    /// mask of bands.
    pub(super) fn hears(&self) -> bool {
        let n = &self.scenario.network;
        let stored = self.settings.stored.get("+QCFG=\"band\"");
        let on = stored.and_then(|v| {
            crate::reference::bands::mask::Mask::read(crate::response::fields(v, 0).get(1)?.text)
                .ok()
        });
        let off = n.band.zip(on).is_some_and(|(band, on)| !on.bands.contains(&band));
        n.heard && !off && self.outage().is_none_or(|o| o.emm_cause.is_some())
    }

    /// The time without service that is now.
    fn outage(&self) -> Option<&super::scenario::Outage> {
        self.scenario.network.outage.iter().find(|o| o.is_at(self.now))
    }

    /// When the service next goes or comes.
    pub(super) fn next_outage_change(&self) -> Option<Duration> {
        self.scenario.network.outage.iter().filter_map(|o| o.next_change(self.now)).min()
    }

    /// The registration state, and the cause of a refusal.
    pub(super) fn registration(&self) -> (u8, Option<u8>) {
        let (s, n) = (&self.settings, &self.scenario.network);
        if s.functionality != 1
            || s.card != CardState::Ready
            || self.now < self.busy_until
            || s.choice == 2
            || !s.attach_wanted
        {
            return (0, None);
        }
        let barred = s.choice == 0 && s.forbidden.contains(&n.plmn);
        if self.is_searching() || !self.hears() || barred || s.choice == 1 && s.chosen != n.plmn {
            return (2, None);
        }
        if let Some(cause) = n.emm_cause.or_else(|| self.outage()?.emm_cause) {
            return (3, Some(cause));
        }
        if self.session_cause().is_some() {
            return (3, Some(19));
        }
        (if self.scenario.card.imsi.starts_with(&n.plmn) { 1 } else { 5 }, None)
    }

    /// Whether a search that was begun has not found the network yet.
    fn is_searching(&self) -> bool {
        self.searching > 0 || self.found_at.is_some_and(|at| self.now < at)
    }

    /// Restarts: volatile settings go, stored ones stay; for `ms` it hears nothing.
    pub(super) fn restart(&mut self, ms: u64) {
        self.settings.errors = 0;
        self.settings.reports.clear();
        self.settings.echo = self.scenario.modem.echo;
        self.settings.verbose = self.scenario.modem.verbose;
        self.settings.quiet = self.scenario.modem.quiet;
        self.settings.attach_wanted = true;
        let level =
            if self.scenario.modem.keeps_level { self.scenario.modem.functionality } else { 1 };
        self.settings.functionality = level;
        self.line.clear();
        self.start(ms);
        self.attach();
    }

    /// A start: for `ms` it hears nothing, then the card is busy, then the network is searched for.
    fn start(&mut self, ms: u64) {
        self.starts_until = self.now + Duration::from_millis(ms);
        self.busy_until = self.starts_until + Duration::from_millis(self.scenario.card.busy_ms);
        self.search();
    }

    /// Another modem comes onto the line: another number, and settings of its own.
    pub(super) fn swap(&mut self) {
        self.scenario.modem.imei = "004999010640018".into();
        self.scenario.card.iccid = "8988000000000000024".into();
        self.scenario.card.imsi = "001010000054321".into();
        self.swapped = Some(self.settings.clone());
    }

    /// A search for the network begins.
    pub(super) fn search(&mut self) {
        let network = &self.scenario.network;
        self.searching = network.searching_reads;
        self.found_at = (network.attach_after_ms > 0)
            .then(|| self.now + Duration::from_millis(network.attach_after_ms));
    }

    /// The state was read once more while it searches.
    pub(super) fn searched(&mut self) {
        self.searching = self.searching.saturating_sub(1);
    }

    /// The modem goes down: what comes next finds nobody.
    pub(super) fn go_silent(&mut self) {
        self.silent = self.scenario.modem.silent_after_restart;
    }
}
