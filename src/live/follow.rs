//! Following a modem from its start until it is connected, refused, or a time is over.
//!
//! Reports are switched on, so that the network's answers come by themselves; states, level and card
//! are asked for beside them. A modem that does not answer yet and a card that is busy are waited for.

use super::following::{Following, Phase};
use super::values::has_address;
use crate::at::{Client, ClientError, is_start};
use crate::capture::Capture;
use crate::case::Case;
use std::time::{Duration, Instant};

/// Whoever looks on.
pub trait Onlooker {
    /// How far the modem came; what it heard since the last time is taken away afterwards.
    fn look(&mut self, following: &Following);
}

/// How following ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FollowEnd {
    /// Registered for data, with an address.
    Connected,
    /// Refused, and for some time nothing else was tried.
    Refused,
    /// The card wants a code of a person.
    CardWaits,
    /// The time is over.
    TimeOver,
}

/// A refusal that stands so long is the answer: until then the modem may try elsewhere.
const REFUSED_FOR: Duration = Duration::from_secs(10);
/// States are asked for so often.
const EVERY: Duration = Duration::from_secs(1);
/// The reports, from the fullest on that a modem may have (TS 27.007 §7.2, §10.1.20, §10.1.22).
const REPORTS: [(&str, [&str; 2]); 3] =
    [("+CEREG", ["3", "2"]), ("+CGREG", ["2", "1"]), ("+CREG", ["2", "1"])];
/// The reads of the states.
const STATES: [&str; 4] = ["AT+CEREG?", "AT+C5GREG?", "AT+CGREG?", "AT+CREG?"];

/// Follows a modem until `most` behind `begun`, at most; what it switches is put back by [`Client::restore`].
///
/// # Errors
///
/// As the line, or because the user stopped it.
pub fn follow(
    client: &mut Client<'_>,
    begun: Instant,
    most: Duration,
    onlooker: &mut dyn Onlooker,
) -> Result<FollowEnd, ClientError> {
    let mut run = Follow {
        until: begun + most,
        begun,
        read: client.recorded().len(),
        restarts: client.restarts(),
        following: Following::default(),
        asked: STATES.to_vec(),
        client,
        onlooker,
    };
    if !run.wait_for_start()? {
        return Ok(FollowEnd::TimeOver);
    }
    run.switch_reports()?;
    run.watch()
}

struct Follow<'f, 'c> {
    client: &'f mut Client<'c>,
    onlooker: &'f mut dyn Onlooker,
    /// Since when time is counted.
    begun: Instant,
    until: Instant,
    /// How much of the recording was taken.
    read: usize,
    restarts: usize,
    following: Following,
    /// The states that this modem has.
    asked: Vec<&'static str>,
}

impl Follow<'_, '_> {
    /// Waits until the modem answers; `false` where the time is over.
    fn wait_for_start(&mut self) -> Result<bool, ClientError> {
        loop {
            self.show();
            if self.client.wake(false)? {
                self.take("AT");
                self.show();
                return Ok(true);
            }
            if self.client.now() >= self.until {
                self.take("AT");
                return Ok(false);
            }
        }
    }

    fn switch_reports(&mut self) -> Result<(), ClientError> {
        self.client.switch("+CMEE", "1")?;
        for (name, modes) in REPORTS {
            for mode in modes {
                if self.client.switch(name, mode)? {
                    break;
                }
            }
        }
        // What the settings answered is no news.
        self.take("AT+CMEE");
        self.following.heard.clear();
        Ok(())
    }

    fn watch(&mut self) -> Result<FollowEnd, ClientError> {
        let mut refused_since: Option<Instant> = None;
        loop {
            self.ask_round()?;
            let now = self.client.now();
            match self.following.phase {
                Phase::Connected => return Ok(self.ended(FollowEnd::Connected)),
                Phase::CardWaits if self.card_wants_a_code() => {
                    return Ok(self.ended(FollowEnd::CardWaits));
                }
                Phase::Denied => {
                    let since = *refused_since.get_or_insert(now);
                    if now.duration_since(since) >= REFUSED_FOR {
                        self.ask("AT+CEER")?;
                        return Ok(self.ended(FollowEnd::Refused));
                    }
                }
                _ => refused_since = None,
            }
            if now >= self.until {
                return Ok(self.ended(FollowEnd::TimeOver));
            }
            self.show();
            self.client.listen(EVERY)?;
            self.take("");
        }
    }

    fn ended(&mut self, end: FollowEnd) -> FollowEnd {
        self.show();
        end
    }

    fn card_wants_a_code(&self) -> bool {
        use crate::case::Sim;
        let code = [Sim::PinRequired, Sim::PukRequired, Sim::DeviceCode];
        self.following.sim.as_ref().is_some_and(|sim| code.contains(sim))
    }

    /// Asks for the card, the radio, the states and the level, as far as each is of use yet.
    fn ask_round(&mut self) -> Result<(), ClientError> {
        if matches!(self.following.phase, Phase::Starts | Phase::CardBusy | Phase::CardWaits) {
            self.ask("AT+CPIN?")?;
            if matches!(self.following.phase, Phase::CardBusy | Phase::CardWaits) {
                return Ok(());
            }
        }
        if matches!(self.following.phase, Phase::Searches | Phase::RadioOff) {
            self.ask("AT+CFUN?")?;
        }
        for command in self.asked.clone() {
            // What this modem does not have is asked for once.
            if !self.ask(command)? && self.following.phase != Phase::Starts {
                self.asked.retain(|asked| *asked != command);
            }
        }
        if self.asked.is_empty() {
            // A modem that starts may refuse all of them.
            self.asked = STATES.to_vec();
        }
        self.ask("AT+CESQ")?;
        if self.following.rsrp_dbm.is_none() {
            self.ask("AT+CSQ")?;
        }
        if self.following.is_registered() {
            let response = self.client.ask("AT+CGPADDR")?;
            self.following.has_address = has_address(&response);
            self.take("AT+CGPADDR");
        }
        Ok(())
    }

    /// Asks one command and takes what came; says whether it was answered with `OK`.
    fn ask(&mut self, command: &str) -> Result<bool, ClientError> {
        let response = self.client.ask(command)?;
        self.take(command);
        Ok(response.is_ok())
    }

    /// Takes what the recording has since the last time, behind a command.
    fn take(&mut self, command: &str) {
        let text = self.client.recorded()[self.read..].to_owned();
        self.read += text.len();
        let news: Vec<String> = text.lines().filter_map(|line| by_itself(line, command)).collect();
        if self.client.restarts() != self.restarts || news.iter().any(|line| is_start(line)) {
            self.restarts = self.client.restarts();
            self.begun = self.client.now();
            self.following.starts();
        }
        let since = self.client.now().duration_since(self.begun);
        self.following.since = since;
        self.following.heard.extend(news.into_iter().map(|line| (since, line)));
        self.following.take(&Case::read(&Capture::new(&text)));
    }

    fn show(&mut self) {
        self.following.since = self.client.now().duration_since(self.begun);
        self.onlooker.look(&self.following);
        self.following.heard.clear();
    }
}

/// What comes by itself and says how far the modem is: registration, sessions, network time, the card,
/// a start. Others may name numbers or texts of people, and are recorded only.
const REPORTED: [&str; 14] = [
    "+CREG",
    "+CGREG",
    "+CEREG",
    "+C5GREG",
    "+CGEV",
    "+CSCON",
    "+CPIN",
    "+CTZV",
    "+CTZE",
    "+CFUN",
    "+CIEV",
    "RDY",
    "^SYSSTART",
    "+SYSSTART",
];

/// A line of the recording that came without being asked for: a report, or a remark on the port.
fn by_itself(line: &str, command: &str) -> Option<String> {
    if let Some(remark) = line.strip_prefix("-- ") {
        return remark.starts_with("the ").then(|| remark.to_owned());
    }
    let (_, came) = line.split_once("] < ")?;
    let head = came.split(':').next().unwrap_or(came).trim();
    // A read has the mode before the state, a report begins with the state (TS 27.007 §7.2).
    let own = command.trim_end_matches('?').strip_prefix("AT").is_some_and(|own| own == head);
    let answers = own && (!head.ends_with("REG") || has_mode(came));
    (REPORTED.contains(&head) && !answers).then(|| came.to_owned())
}

/// Whether a registration response begins with a mode: a state follows it, and no quoted area.
fn has_mode(came: &str) -> bool {
    let value = came.split_once(':').map_or("", |(_, value)| value);
    crate::response::fields(value, 0).get(1).is_some_and(|f| !f.quoted && f.small().is_some())
}
