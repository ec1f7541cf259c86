//! Which of the host's interfaces a test or a counter is about.
//!
//! ```text
//! PING 198.51.100.1 (198.51.100.1) from 192.0.2.77 wwan0: 56(84) bytes of data.
//! 7: wwan0: <POINTOPOINT,NOARP,UP,LOWER_UP> mtu 1500 …         ppp0      Link encap:Point-to-Point Protocol
//!     RX: bytes  packets  errors                                          RX packets:0 errors:0
//!     0          0        0                                               TX packets:12 errors:0
//! ```
//!
//! Outputs of the system's own tools; common practice, no source.

use crate::case::{Fact, Facts};
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;

/// What the lines of such a test have.
const OF_TEST: [&str; 7] = [
    "ping ",
    "bytes from",
    "icmp_seq",
    "packets transmitted",
    "packet loss",
    "ping statistics",
    "round-trip",
];

/// The interface that the lines so far are about.
#[derive(Debug, Default)]
pub(super) struct Interface {
    /// A test was bound to a modem's interface: one that is bound to none may have gone another way.
    bound: bool,
    /// The test that is shown now went another way.
    elsewhere: bool,
    /// Whether the interface whose counters follow is a modem's.
    cellular: bool,
    /// Which counters the next line of numbers has.
    heading: Option<Way>,
    received: Option<u64>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Received,
    Sent,
}

impl Interface {
    /// Reads a line in small letters; true where it is of a test that says nothing of the modem's link.
    pub(super) fn read(&mut self, lower: &str, base: usize, facts: &mut Facts) -> bool {
        let line = lower.trim_start();
        if line.starts_with("ping ") && line.contains("bytes") {
            self.test(line);
        } else if let Some(name) = heading(line) {
            self.cellular = begins(name, words_of(List::CellularInterface));
            (self.heading, self.received) = (None, None);
        } else if let Some((way, count)) = self.counter(line) {
            self.count(way, count, base..base + lower.trim_end().len(), facts);
        }
        self.elsewhere && OF_TEST.iter().any(|words| lower.contains(words))
    }

    /// The head of a test: what it is bound to.
    fn test(&mut self, line: &str) {
        let name = line
            .split_once(" from ")
            .and_then(|(_, rest)| rest.split(':').next()?.split_whitespace().nth(1));
        self.elsewhere = match name {
            Some(name) if begins(name, words_of(List::CellularInterface)) => {
                self.bound = true;
                false
            }
            Some(name) => begins(name, words_of(List::OtherInterface)),
            None => self.bound,
        };
    }

    /// A counter of bytes or packets: on its line, or below its heading.
    fn counter(&mut self, line: &str) -> Option<(Way, u64)> {
        let (way, rest) = match line.get(..2)? {
            "rx" => (Way::Received, &line[2..]),
            "tx" => (Way::Sent, &line[2..]),
            _ => {
                let count = line.split_whitespace().next()?.parse().ok();
                return self.heading.take().zip(count);
            }
        };
        if rest.starts_with(':') && rest.contains("bytes") {
            self.heading = Some(way);
            return None;
        }
        let count = rest.trim_start().strip_prefix("packets")?.trim_start_matches([':', ' ']);
        let digits = count.bytes().take_while(u8::is_ascii_digit).count();
        Some((way, count[..digits].parse().ok()?))
    }

    fn count(&mut self, way: Way, count: u64, place: std::ops::Range<usize>, facts: &mut Facts) {
        match way {
            Way::Received => self.received = Some(count),
            Way::Sent if self.cellular && self.received == Some(0) && count > 0 => {
                facts.push(Fact::Traffic(false), Span::new(place.start, place.end));
            }
            Way::Sent => self.received = None,
        }
    }
}

/// The name of the interface that a line of its own introduces.
fn heading(line: &str) -> Option<&str> {
    let line = match line.split_once(": ") {
        Some((number, rest)) if number.bytes().all(|b| b.is_ascii_digit()) => rest,
        _ => line,
    };
    let name = line.split([':', ' ', '@']).next()?;
    let rest = &line[name.len()..];
    let introduces = rest.contains("mtu ") || rest.contains("link encap");
    (introduces
        && (begins(name, words_of(List::CellularInterface))
            || begins(name, words_of(List::OtherInterface))))
    .then_some(name)
}

fn begins(name: &str, list: &[&str]) -> bool {
    list.iter().any(|start| name.starts_with(start))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn failed(text: &str) -> bool {
        let (mut interface, mut facts) = (Interface::default(), Facts::default());
        for line in text.lines() {
            interface.read(&line.to_ascii_lowercase(), 0, &mut facts);
        }
        facts.drain().any(|(fact, _)| fact == Fact::Traffic(false))
    }

    #[test]
    fn a_test_without_an_interface_says_nothing_beside_one_with_the_modems() {
        let mut interface = Interface::default();
        let mut elsewhere =
            |line: &str| interface.read(&line.to_ascii_lowercase(), 0, &mut Facts::default());
        assert!(!elsewhere("PING 198.51.100.1 (198.51.100.1) 56(84) bytes of data."));
        assert!(elsewhere("PING 192.0.2.1 (192.0.2.1) from 192.0.2.4 eth0: 56(84) bytes of data."));
        assert!(elsewhere("64 bytes from 192.0.2.1: icmp_seq=1"));
        assert!(!elsewhere(
            "PING 192.0.2.1 (192.0.2.1) from 203.0.113.7 wwan0: 56(84) bytes of data."
        ));
        assert!(elsewhere("PING 198.51.100.1 (198.51.100.1) 56(84) bytes of data."));
    }

    #[test]
    fn packets_that_leave_a_modems_interface_and_never_return() {
        let link = |name: &str, rx: u32, tx: u32| {
            format!(
                "7: {name}: <UP> mtu 1500\n    RX: bytes  packets\n    {rx} 0\n    TX: bytes  packets\n    {tx} 9\n"
            )
        };
        assert!(failed(&link("wwan0", 0, 700)));
        assert!(!failed(&link("wwan0", 70, 700)));
        assert!(!failed(&link("wwan0", 0, 0)), "nothing was sent");
        assert!(!failed(&link("eth0", 0, 700)), "another link");
        assert!(failed(
            "ppp0      Link encap:Point-to-Point Protocol\n   RX packets:0 errors:0\n   TX packets:12 errors:0\n"
        ));
        assert!(failed(
            "wwan0: flags=4305<UP> mtu 1500\n  RX packets 0  bytes 0\n  TX packets 40  bytes 2400\n"
        ));
    }
}
