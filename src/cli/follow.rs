//! The live view of `examine --follow`: a block that is drawn anew on a terminal, plain lines elsewhere.
//!
//! What came by itself scrolls above the block. Both fit a screen of 80 by 24.

use super::live;
use crate::at::Notice;
use crate::case::{Domain, Registration, Sim};
use crate::live::{DOMAINS, FollowEnd, Following, Onlooker, Phase};
use crate::reference::causes::assigned;
use crate::sanitize::plain;
use std::io::{IsTerminal, Write};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

/// So many lines of a block stand on the terminal; they are taken away before anything else is written.
static DRAWN: AtomicUsize = AtomicUsize::new(0);

/// Whoever follows at the terminal or in a log.
pub(super) struct Shown {
    live: bool,
    last: String,
    /// The time since the modem's start, where it was seen.
    start: Option<Duration>,
}

impl Shown {
    /// Draws on standard error where it is a terminal.
    pub(super) fn new() -> Self {
        Self { live: std::io::stderr().is_terminal(), last: String::new(), start: None }
    }
}

impl Onlooker for Shown {
    fn look(&mut self, following: &Following) {
        self.start = following.saw_start.then_some(following.since);
        let width = super::width();
        let mut out = String::new();
        for (at, line) in &following.heard {
            out.push_str(&format!("{}\n", cut(&heard(*at, line), width)));
        }
        let state = state_line(following);
        if self.live {
            let block = block(following, width);
            erase();
            out.push_str(&block.join("\n"));
            out.push('\n');
            DRAWN.store(block.len(), Ordering::Relaxed);
        } else if state != self.last {
            // A log gets a line for what has changed, with its time.
            out.push_str(&format!("{}  {state}\n", seconds(following.since)));
            self.last = state;
        }
        // The screen is only for show.
        let _ = std::io::stderr().write_all(out.as_bytes());
        let _ = std::io::stderr().flush();
    }
}

/// Tells what happens to the line, with the block taken away first.
pub(super) fn told(notice: Notice) {
    erase();
    live::told(notice);
}

/// Takes the block away.
pub(super) fn erase() {
    let lines = DRAWN.swap(0, Ordering::Relaxed);
    if lines > 0 {
        let _ = write!(std::io::stderr(), "\x1b[{lines}A\r\x1b[J");
    }
}

impl Shown {
    /// How it ended, in a sentence; `since` is the time since the run began.
    pub(super) fn end_words(&self, end: FollowEnd, since: Duration) -> String {
        let start = self.start.map_or_else(String::new, |start| {
            format!(", {} s after the modem's start", start.as_secs())
        });
        let after = format!("{} s after the run began{start}", since.as_secs());
        match end {
            FollowEnd::Connected => format!("Connected {after}."),
            FollowEnd::Refused => {
                format!("Refused by the network, and nothing else tried for 10 s; {after}.")
            }
            FollowEnd::CardWaits => "The card wants a code, and nothing goes on without it.".into(),
            FollowEnd::TimeOver => {
                format!("The time is over {after}; --follow=SECONDS gives more.")
            }
        }
    }
}

/// The block on a terminal.
fn block(f: &Following, width: usize) -> Vec<String> {
    let from = if f.saw_start { "since the modem's start" } else { "since the run began" };
    let mut lines = vec![format!("{:>4} s {from}: {}", f.since.as_secs(), phase_words(f))];
    for (state, domain) in f.states.iter().zip(DOMAINS) {
        if let Some(state) = state {
            lines.push(format!("  {:<22} {}", domain_words(domain), state_words(*state)));
        }
    }
    if f.phase >= Phase::Searches {
        lines.push(format!("  {:<22} {}", "level", level_words(f)));
    }
    if let Some(cell) = cell_words(f) {
        lines.push(format!("  {:<22} {cell}", "cell"));
    }
    if let Some(reject) = reject_words(f) {
        lines.push(format!("  {:<22} {reject}", "the network's reason"));
    }
    lines.push("  Ctrl-C ends it; what was heard is explained then.".into());
    lines.iter().map(|line| cut(line, width)).collect()
}

/// The state in one line of a log; no time stands in it, so that it changes only with the state.
fn state_line(f: &Following) -> String {
    let mut parts = vec![phase_words(f)];
    let states = f.states.iter().zip(DOMAINS).filter_map(|(s, d)| s.map(|s| (s, d)));
    parts.extend(states.map(|(s, d)| format!("{} {}", short(d), state_words(s))));
    parts.extend(cell_words(f).map(|cell| format!("cell {cell}")));
    if f.phase >= Phase::Denied {
        parts.extend(f.rsrp_dbm.map(|_| level_words(f)).filter(|_| f.phase == Phase::Connected));
    }
    parts.extend(reject_words(f));
    plain(&parts.join("; ")).into_owned()
}

fn heard(at: Duration, line: &str) -> String {
    plain(&format!("{}  came by itself: {line}", seconds(at))).into_owned()
}

fn seconds(at: Duration) -> String {
    format!("{:6.1} s", at.as_secs_f64())
}

/// The line in so many columns.
fn cut(line: &str, width: usize) -> String {
    let line = plain(line);
    if line.chars().count() < width {
        return line.into_owned();
    }
    line.chars().take(width.saturating_sub(2)).chain(['…']).collect()
}

fn phase_words(f: &Following) -> String {
    match f.phase {
        Phase::Starts => "no answer yet; a modem takes up to 40 s to start".into(),
        Phase::CardBusy => "the card is busy, as behind a start".into(),
        Phase::CardWaits => format!("the card: {}", f.sim.as_ref().map_or("no state", sim_words)),
        Phase::RadioOff => {
            format!(
                "the radio is off (functionality level {})",
                f.functionality.unwrap_or_default()
            )
        }
        Phase::Searches => "looking for a network".into(),
        Phase::Denied => "refused by the network; it may try another one".into(),
        Phase::Registered => "registered, no address yet".into(),
        Phase::Connected => "connected: registered, with an address".into(),
    }
}

const fn sim_words(sim: &Sim) -> &'static str {
    match sim {
        Sim::Ready | Sim::Inserted | Sim::SecondCodeRequired => "ready",
        Sim::PinRequired => "it asks for its PIN",
        Sim::PukRequired => "it asks for its PUK",
        Sim::Locked(_) => "the device is locked to other cards",
        Sim::DeviceCode => "the device asks for its own code",
        Sim::NotInserted => "none is seen",
        Sim::Failure => "it does not work",
        Sim::Wrong => "it is of a wrong kind",
        Sim::Busy => "busy",
        Sim::NoProfile => "no profile is enabled on it",
    }
}

const fn domain_words(domain: Domain) -> &'static str {
    match domain {
        Domain::Eps => "4G data (EPS)",
        Domain::FiveG => "5G (5GS)",
        Domain::Packet => "2G/3G data (packet)",
        Domain::Circuit => "2G/3G calls (circuit)",
    }
}

const fn short(domain: Domain) -> &'static str {
    match domain {
        Domain::Eps => "4G data",
        Domain::FiveG => "5G",
        Domain::Packet => "2G/3G data",
        Domain::Circuit => "calls",
    }
}

fn state_words(state: Registration) -> String {
    let place = match state.stat {
        1 | 6 | 9 => ", at home",
        5 | 7 | 10 => ", roaming",
        _ => "",
    };
    format!("{}{place}", state.status().words())
}

fn level_words(f: &Following) -> String {
    match (f.rsrp_dbm, f.rssi_dbm) {
        (Some(level), _) => format!("{level:.0} dBm (RSRP, TS 36.133 9.1.4)"),
        (None, Some(power)) => format!("{power:.0} dBm (RSSI, TS 27.007 8.5)"),
        (None, None) => "nothing is heard".into(),
    }
}

fn cell_words(f: &Following) -> Option<String> {
    let area = f.area.as_ref()?;
    let cell = f.cell.map_or_else(String::new, |cell| format!(", cell identity {cell:X} (hex)"));
    Some(format!("area {area}{cell}"))
}

fn reject_words(f: &Following) -> Option<String> {
    let reject = f.reject.filter(|_| !f.is_registered())?;
    let name = assigned(reject.kind, reject.cause).map_or("", |cause| cause.name);
    Some(format!("{} cause {}: {name}", reject.kind.name(), reject.cause))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused() -> Following {
        let state =
            |domain, stat| Some(Registration { domain, stat, act: None, unsolicited: false });
        Following {
            since: Duration::from_secs(47),
            saw_start: true,
            phase: Phase::Denied,
            states: [
                state(Domain::Eps, 3),
                None,
                state(Domain::Packet, 0),
                state(Domain::Circuit, 5),
            ],
            reject: Some(crate::case::Reject {
                kind: crate::reference::causes::CauseList::Emm,
                cause: 15,
                history: false,
            }),
            rsrp_dbm: Some(-93.0),
            area: Some("0A11".into()),
            cell: Some(0x3_a2b1),
            ..Following::default()
        }
    }

    #[test]
    fn the_block_fits_a_small_screen() {
        let lines = block(&refused(), 80);
        assert!(lines.len() <= 12, "{lines:?}");
        assert!(lines.iter().all(|l| l.chars().count() <= 79), "{lines:#?}");
        assert_eq!(lines.join("\n"), include_str!("follow.txt").trim_end());
    }

    #[test]
    fn a_line_of_a_log_changes_only_with_the_state() {
        let first = refused();
        let later =
            Following { since: Duration::from_secs(99), rsrp_dbm: Some(-95.0), ..refused() };
        assert_eq!(state_line(&first), state_line(&later));
        let other = Following { phase: Phase::Searches, ..refused() };
        assert_ne!(state_line(&first), state_line(&other));
    }

    #[test]
    fn nothing_of_a_modem_reaches_the_terminal_as_it_came() {
        let line = cut(&heard(Duration::from_secs(1), "+CREG: \x1b[2J2"), 80);
        assert!(!line.contains('\x1b'), "{line}");
        assert_eq!(cut(&"x".repeat(200), 80).chars().count(), 79);
    }
}
