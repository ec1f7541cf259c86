//! The dialogue for an address on the modem's network interface (DHCP, RFC 2131 §3.1).
//!
//! ```text
//! dhcpc: wwan0: sending discover        dhcpc: no lease, failing        lease of 10.51.3.2 obtained
//! ```
//!
//! Requests that are repeated without an offer show that no address is given; the names of the messages are those of the
//! RFC, how programs write them is common practice, no source.

use super::page;
use crate::case::{Fact, Facts, ReportedBy};
use crate::reference::status_words::SessionState;
use crate::span::Span;

/// So many requests without an offer are no slow start.
const MANY: usize = 3;

/// Where the dialogue stands.
#[derive(Debug, Default)]
pub(super) struct Lease {
    requests: usize,
    last: Option<Span>,
}

impl Lease {
    /// Reads a line in small letters; whether it is one of this dialogue.
    pub(super) fn read(&mut self, lower: &str, base: usize, facts: &mut Facts) -> bool {
        let about = ["discover", "dhcp", "lease"].iter().any(|word| lower.contains(word));
        // The wired side has its own: a server that gives leases to others, other interfaces.
        let other = ["eth", "lan0", "wlan", "br-", "br0", "dhcpd", "dhcps", " to ", " from "]
            .iter()
            .any(|word| lower.contains(word))
            && !lower.contains("wwan");
        if !about || other {
            return false;
        }
        let span = Span::new(base, base + lower.trim_end().len());
        let has = |words: &[&str]| words.iter().any(|word| lower.contains(word));
        facts.said_by(ReportedBy::Host);
        if has(&["no lease", "no dhcpoffer", "no offer", "lease failed", "timed out waiting for"]) {
            self.requests = MANY;
            self.last = Some(span);
        } else if has(&["offer", "bound", "obtained", "dhcpack", "acquired", "leased"])
            && !has(&["no ", "without"])
        {
            self.requests = 0;
            if page::own_address(lower).is_some() || has(&["bound", "obtained", "acquired"]) {
                facts.push(Fact::Session(SessionState::Active), span);
            }
        } else if has(&["discover"]) {
            self.requests += 1;
            self.last = Some(span);
        } else {
            return false;
        }
        true
    }

    /// Notes requests that were never answered.
    pub(super) fn finish(&self, facts: &mut Facts) {
        if let Some(at) = self.last.filter(|_| self.requests >= MANY) {
            facts.said_by(ReportedBy::Host);
            facts.push(Fact::Session(SessionState::NoAddress), at);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(lines: &[&str]) -> Vec<Fact> {
        let (mut lease, mut facts) = (Lease::default(), Facts::default());
        for line in lines {
            lease.read(line, 0, &mut facts);
        }
        lease.finish(&mut facts);
        facts.drain().map(|(fact, _)| fact).collect()
    }

    #[test]
    fn requests_without_an_offer_bring_no_address() {
        let asked = ["dhcpc: wwan0: sending discover"; 3];
        assert_eq!(read(&asked), [Fact::Session(SessionState::NoAddress)]);
        assert_eq!(read(&asked[..2]), []);
        assert_eq!(read(&["dhcpc: no lease, failing"]), [Fact::Session(SessionState::NoAddress)]);
    }

    #[test]
    fn a_lease_is_a_session() {
        let lines = ["wwan0: sending discover", "wwan0: lease of 10.51.3.2 obtained"];
        assert_eq!(read(&lines), [Fact::Session(SessionState::Active)]);
        assert_eq!(read(&["dhcpd: discover from 00:00:5e:00:53:01"; 3]), []);
    }
}
