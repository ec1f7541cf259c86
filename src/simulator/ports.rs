//! The ports of one simulated modem: several that answer AT share its state, each with a line of its own.

use super::machine::{Machine, Sent};
use super::modem::Modem;
use super::scenario::{PortRole, Scenario};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

/// The machines at the ports of a scenario's modem, in order.
pub fn ports(scenario: Scenario) -> Vec<Box<dyn Machine>> {
    let roles = scenario.modem.ports.clone();
    let modem = Arc::new(Mutex::new(Modem::new(scenario)));
    let machine = |role: &PortRole| -> Box<dyn Machine> {
        match role {
            PortRole::At => Box::new(AtPort { modem: Arc::clone(&modem), line: Vec::new() }),
            PortRole::Positions => Box::new(Positions { next: Duration::ZERO }),
            PortRole::Silent => Box::new(Silent),
        }
    };
    roles.iter().map(machine).collect()
}

/// A port that answers AT.
struct AtPort {
    modem: Arc<Mutex<Modem>>,
    /// What this port has of a command that is not whole yet.
    line: Vec<u8>,
}

impl AtPort {
    /// Lets the modem work with this port's line.
    fn with<T>(&mut self, work: impl FnOnce(&mut Modem) -> T) -> T {
        // A port whose thread ended in the middle leaves the modem as it stands.
        let mut modem = self.modem.lock().unwrap_or_else(PoisonError::into_inner);
        std::mem::swap(&mut modem.line, &mut self.line);
        let done = work(&mut modem);
        std::mem::swap(&mut modem.line, &mut self.line);
        done
    }
}

impl Machine for AtPort {
    fn feed(&mut self, bytes: &[u8], now: Duration) -> Vec<Sent> {
        self.with(|modem| modem.feed(bytes, now))
    }

    fn idle(&mut self, now: Duration) -> Vec<Sent> {
        self.with(|modem| modem.idle(now))
    }

    fn next_event(&self) -> Option<Duration> {
        self.modem.lock().unwrap_or_else(PoisonError::into_inner).next_event()
    }

    fn plugged_in(&mut self, now: Duration) {
        self.with(|modem| modem.plugged_in(now));
    }
}

/// A port of position sentences (NMEA 0183), one a second, without a fix.
struct Positions {
    next: Duration,
}

impl Machine for Positions {
    fn feed(&mut self, _: &[u8], now: Duration) -> Vec<Sent> {
        self.idle(now)
    }

    fn idle(&mut self, now: Duration) -> Vec<Sent> {
        if now < self.next {
            return Vec::new();
        }
        self.next = now + Duration::from_secs(1);
        vec![Sent::new(0, "$GPRMC,,V,,,,,,,,,,N*53\r\n")]
    }

    fn next_event(&self) -> Option<Duration> {
        Some(self.next)
    }
}

/// A port at which nothing answers.
struct Silent;

impl Machine for Silent {
    fn feed(&mut self, _: &[u8], _: Duration) -> Vec<Sent> {
        Vec::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_ports_share_the_modem_and_not_the_line() {
        let text = "title = \"t\"\nstory = \"s\"\nfinding = \"connected\"\n\
                    [modem]\necho = false\nports = [\"at\", \"positions\", \"at\", \"silent\"]\n";
        let mut ports = ports(Scenario::parse(text).unwrap());
        let mut said = |port: usize, sent: &str| {
            let pieces = ports[port].feed(sent.as_bytes(), Duration::ZERO);
            String::from_utf8(pieces.into_iter().flat_map(|p| p.bytes).collect()).unwrap()
        };
        assert_eq!(said(0, "AT+CM"), "");
        assert_eq!(said(2, "AT+CMEE=2\r"), "\r\nOK\r\n");
        assert_eq!(said(0, "EE?\r"), "\r\n+CMEE: 2\r\n\r\nOK\r\n");
        assert!(said(1, "AT\r").starts_with("$GPRMC"));
        assert_eq!(said(3, "AT\r"), "");
    }

    #[test]
    fn the_check_sum_of_the_sentence_is_right() {
        let sentence = "GPRMC,,V,,,,,,,,,,N";
        let sum = sentence.bytes().fold(0, |sum, byte| sum ^ byte);
        assert_eq!(format!("{sum:02X}"), "53");
    }
}
