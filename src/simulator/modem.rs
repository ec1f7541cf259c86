//! The machine: state, settings, and the bytes that go in and out.

use super::answer::answer;
use super::scenario::Scenario;
use std::collections::BTreeMap;

/// Something that answers bytes with bytes, on whatever line.
pub trait Machine: Send {
    /// Takes what came in and gives what goes out, each piece with the pause before it.
    fn feed(&mut self, bytes: &[u8]) -> Vec<Sent>;
}

/// A piece that the modem sends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sent {
    /// The pause before it, ms.
    pub after_ms: u64,
    /// The bytes; none where the line ends here.
    pub bytes: Vec<u8>,
    /// Whether the line ends behind it.
    pub cut: bool,
}

/// Everything that commands can change; compared before and after a read-only run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Echo.
    pub echo: bool,
    /// Results as words (`ATV1`) or numbers.
    pub verbose: bool,
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
    /// Settings of the maker's own, by command and key.
    pub stored: BTreeMap<String, String>,
    /// Authentication by context: protocol and user.
    pub logins: BTreeMap<u8, (u8, String)>,
    /// Whether packet service is attached by command.
    pub attach_wanted: bool,
    /// Forbidden networks of the card.
    pub forbidden: Vec<String>,
    /// State of the card.
    pub card: String,
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
    /// The last session refusal, told by `+CEER`.
    pub(super) last_esm: Option<u8>,
    line: Vec<u8>,
    received: Vec<u8>,
    commands: Vec<String>,
    sent: usize,
    stalled: bool,
    gone: bool,
    next_unsolicited: usize,
    /// Levels that were read so far.
    levels_read: usize,
    /// Reads of the state that still say that it searches.
    searching: u32,
    /// Commands that still stay unanswered.
    silent: u32,
}

impl Modem {
    /// A modem as the scenario begins.
    pub fn new(scenario: Scenario) -> Self {
        let d = &scenario.modem;
        let settings = Settings {
            echo: d.echo,
            verbose: d.verbose,
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
            attach_wanted: true,
            forbidden: scenario.card.forbidden.clone(),
            card: scenario.card.state.clone(),
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
        };
        modem.attach();
        modem
    }

    /// What commands can change, as it stands.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// Every byte that came in.
    pub fn received(&self) -> &[u8] {
        &self.received
    }

    /// Every command that came in, in order.
    pub fn commands(&self) -> &[String] {
        &self.commands
    }

    /// An attempt to attach with the settings as they stand.
    pub(super) fn attach(&mut self) {
        self.tried_name = self.settings.contexts.get(&1).map(|c| c.1.clone()).unwrap_or_default();
        self.last_esm = if self.stands().0 == 3 { self.session_cause() } else { None };
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
        let mask = self.settings.stored.get("+QCFG=\"band\"").and_then(|v| v.split(',').nth(1));
        let on = mask.and_then(|m| crate::reference::bands::mask::Mask::read(m).ok());
        let off = n.band.zip(on).is_some_and(|(band, on)| !on.bands.contains(&band));
        n.heard && !off
    }

    /// The registration state, and the cause of a refusal.
    pub(super) fn stands(&self) -> (u8, Option<u8>) {
        let (s, n) = (&self.settings, &self.scenario.network);
        if s.functionality != 1 || s.card != "ready" || s.choice == 2 || !s.attach_wanted {
            return (0, None);
        }
        let barred = s.choice == 0 && s.forbidden.contains(&n.plmn);
        if self.searching > 0 || !self.hears() || barred || s.choice == 1 && s.chosen != n.plmn {
            return (2, None);
        }
        if let Some(cause) = n.emm_cause {
            return (3, Some(cause));
        }
        if self.session_cause().is_some() {
            return (3, Some(19));
        }
        (if self.scenario.card.imsi.starts_with(&n.plmn) { 1 } else { 5 }, None)
    }

    /// Starts anew: volatile settings go, stored ones stay.
    pub(super) fn restart(&mut self) {
        self.settings.errors = 0;
        self.settings.reports.clear();
        self.settings.echo = self.scenario.modem.echo;
        self.settings.verbose = self.scenario.modem.verbose;
        self.settings.attach_wanted = true;
        self.settings.functionality = 1;
        self.search();
        self.attach();
    }

    /// A search for the network begins.
    pub(super) fn search(&mut self) {
        self.searching = self.scenario.network.searching_reads;
    }

    /// The state was read once more while it searches.
    pub(super) fn searched(&mut self) {
        self.searching = self.searching.saturating_sub(1);
    }

    /// The modem goes down: what comes next finds nobody.
    pub(super) fn go_silent(&mut self) {
        self.silent = self.scenario.modem.silent_after_restart;
    }

    fn respond(&mut self, command: &str) -> Vec<Sent> {
        if self.silent > 0 {
            self.silent -= 1;
            return Vec::new();
        }
        let mut out = String::new();
        if self.settings.echo {
            out.push_str(command);
            out.push('\r');
        }
        let upper = command.trim().to_ascii_uppercase();
        let Some(body) = upper.strip_prefix("AT") else { return self.send(0, out.into_bytes()) };
        self.commands.push(command.trim().to_owned());
        let original = command.trim().get(2..).unwrap_or("");
        let (lines, result) = answer(self, body, original);
        let asked: Option<&String> = self.scenario.modem.unsolicited.get(self.next_unsolicited);
        let unsolicited = asked.cloned().filter(|_| self.commands.len().is_multiple_of(3));
        if unsolicited.is_some() {
            self.next_unsolicited =
                (self.next_unsolicited + 1) % self.scenario.modem.unsolicited.len();
        }
        for (n, line) in lines.iter().enumerate() {
            out.push_str("\r\n");
            out.push_str(line);
            out.push_str("\r\n");
            if let Some(code) = unsolicited.as_ref().filter(|_| n == 0) {
                out.push_str("\r\n");
                out.push_str(code);
                out.push_str("\r\n");
            }
        }
        match result {
            // V.250 §6.2.6: a number, and nothing but a carriage return behind it.
            Some(result) if !self.settings.verbose && matches!(&*result, "OK" | "ERROR") => {
                out.push_str(if result == "OK" { "0\r" } else { "4\r" });
            }
            Some(result) => {
                out.push_str("\r\n");
                out.push_str(&result);
                out.push_str("\r\n");
            }
            None => {}
        }
        let pause = self
            .scenario
            .modem
            .slow_ms
            .get(&upper)
            .copied()
            .unwrap_or(self.scenario.modem.delay_ms);
        self.send(pause, out.into_bytes())
    }

    /// Sends bytes, with what the scenario's faults make of them.
    fn send(&mut self, after_ms: u64, bytes: Vec<u8>) -> Vec<Sent> {
        const STALL_MS: u64 = 60_000;
        let begin = self.sent;
        self.sent += bytes.len();
        let here: Vec<_> = self
            .scenario
            .fault
            .iter()
            .filter(|f| (begin..begin + bytes.len()).contains(&f.at))
            .cloned()
            .collect();
        let mut pieces = vec![Sent {
            after_ms: if self.stalled { STALL_MS } else { after_ms },
            bytes,
            cut: false,
        }];
        for fault in here {
            let at = fault.at - begin;
            let mut last =
                pieces.pop().unwrap_or(Sent { after_ms: 0, bytes: Vec::new(), cut: false });
            let done: usize = pieces.iter().map(|p| p.bytes.len()).sum();
            let at = at.saturating_sub(done).min(last.bytes.len());
            let rest = last.bytes.split_off(at);
            let piece = |after_ms, bytes| Sent { after_ms, bytes, cut: false };
            match fault.kind.as_str() {
                "cut" => {
                    self.gone = true;
                    last.cut = true;
                    pieces.push(last);
                }
                "stall" => {
                    self.stalled = true;
                    pieces.push(last);
                    pieces.push(piece(STALL_MS, rest));
                }
                "garble" => {
                    let mut rest = rest;
                    if let Some(byte) = rest.first_mut() {
                        *byte = byte.wrapping_add(0x55) | 0x80;
                    }
                    pieces.push(last);
                    pieces.push(piece(0, rest));
                }
                "drop" => {
                    pieces.push(last);
                    pieces.push(piece(0, rest.get(1..).unwrap_or(&[]).to_vec()));
                }
                "restart" => {
                    self.restart();
                    pieces.push(last);
                    pieces.push(piece(20, b"\r\nRDY\r\n\r\n+CPIN: READY\r\n".to_vec()));
                }
                "interleave" => {
                    last.bytes.extend(b"\r\n+CTZV: +04\r\n");
                    pieces.push(last);
                    pieces.push(piece(0, rest));
                }
                _ => {
                    pieces.push(last);
                    pieces.push(piece(0, b"\xff\x00~".repeat(2000)));
                    pieces.push(piece(0, rest));
                }
            }
        }
        pieces
    }
}

impl Machine for Modem {
    fn feed(&mut self, bytes: &[u8]) -> Vec<Sent> {
        let mut sent = Vec::new();
        self.received.extend(bytes);
        for &byte in bytes {
            if self.gone {
                return sent;
            }
            match byte {
                b'\r' => {
                    let line =
                        String::from_utf8_lossy(&std::mem::take(&mut self.line)).into_owned();
                    if !line.trim().is_empty() {
                        sent.extend(self.respond(line.trim_start_matches('\n')));
                    }
                }
                b'\n' | 0x1b => {}
                0x08 => {
                    self.line.pop();
                }
                _ if self.line.len() < 2048 => self.line.push(byte),
                _ => {}
            }
        }
        sent
    }
}
