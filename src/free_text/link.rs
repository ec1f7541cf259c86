//! The dialogue of the link layer between host and modem, as programs log it (PPP: RFC 1661, 1332, 1334, 1994).
//!
//! ```text
//! sent [IPCP ConfReq id=0x1 <addr 0.0.0.0>]        rcvd [IPCP ConfAck id=0x2 <addr 192.0.2.17>]
//! rcvd [PAP AuthNak id=0x1 "…"]                    IPCP: SendConfigReq #9
//! ```
//!
//! Requests that are repeated and never answered show which phase fails; answers show that it went through.

use crate::case::{Fact, Facts, ReportedBy};
use crate::reference::status_words::{LinkState, SessionState};
use crate::span::Span;

/// So many requests without an answer are no slow start.
const MANY: usize = 3;

/// A protocol of the link.
#[derive(Debug, Default)]
struct Phase {
    requests: usize,
    last: Option<Span>,
    answered: bool,
    /// The peer agreed to a request.
    agreed: bool,
}

/// What was exchanged so far.
#[derive(Debug, Default)]
pub(super) struct Link {
    lcp: Phase,
    ipcp: Phase,
    /// Where the peer rejected a protocol of addresses.
    rejected: Option<Span>,
    /// The peer agreed to an address of the other kind.
    ipv6_agreed: bool,
}

/// The direction of a frame.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Direction {
    Sent,
    Received,
}

impl Link {
    /// Reads a line; whether it is a frame of the link.
    pub(super) fn read(&mut self, line: &str, base: usize, facts: &mut Facts) -> bool {
        let lower = line.to_ascii_lowercase();
        if let Some(at) = protocol_reject(&lower) {
            if direction(&lower, &lower[at..]) != Some(Direction::Sent) {
                self.rejected = Some(Span::new(base + at, base + line.trim_end().len()));
            }
            return true;
        }
        if let Some(at) = lower.find("ipv6cp") {
            let rest = &lower[at..];
            let acknowledged =
                ["confack", "configack", "configure-ack"].iter().any(|k| rest.contains(k));
            self.ipv6_agreed |=
                acknowledged && direction(&lower, rest) == Some(Direction::Received);
        }
        let Some((protocol, at)) = protocol(&lower) else { return false };
        let rest = &lower[at..];
        let kind = |names: &[&str]| names.iter().any(|name| rest.contains(name));
        let request = kind(&["confreq", "configure-request", "configreq", "config-request"]);
        let answer = kind(&[
            "confack",
            "confnak",
            "confrej",
            "configack",
            "confignak",
            "configrej",
            "configure-ack",
            "configure-nak",
        ]);
        let refusal = protocol == "pap"
            && (kind(&["authnak", "authenticate-nak"])
                || rest["pap".len()..].trim_start_matches([':', ' ']).starts_with("reject"))
            || protocol == "chap" && rest.starts_with("chap failure");
        let stop = kind(&["termreq", "terminate-request", "terminatereq"]);
        if !(request || answer || refusal || stop) {
            return false;
        }
        let direction = direction(&lower, rest);
        let agrees = kind(&["confack", "configack", "configure-ack", "opened"]);
        let span = Span::new(base + at, base + line.trim_end().len());
        facts.said_by(ReportedBy::Host);
        if refusal {
            facts.push(Fact::Link(LinkState::AuthenticationFailed), span);
        } else if stop && direction == Some(Direction::Received) {
            facts.push(Fact::Link(LinkState::Failed), span);
        }
        let phase = match protocol {
            "lcp" => &mut self.lcp,
            "ipcp" => &mut self.ipcp,
            _ => return true,
        };
        // Without a mark of its direction a request is one of this side, which logs it.
        if request && direction != Some(Direction::Received) {
            phase.requests += 1;
            phase.last = Some(span);
        } else if direction == Some(Direction::Received) {
            phase.answered = true;
        }
        let offers = answer
            && rest
                .split_once("addr ")
                .is_some_and(|(_, ip)| ip.starts_with(|c| matches!(c, '1'..='9')));
        phase.agreed |= (agrees || offers) && direction != Some(Direction::Sent);
        true
    }

    /// Notes which phase was never answered.
    pub(super) fn finish(&self, facts: &mut Facts) {
        let silent =
            |phase: &Phase| phase.last.filter(|_| phase.requests >= MANY && !phase.answered);
        facts.said_by(ReportedBy::Host);
        // Answers that never agree to an address bring none.
        let disagrees = self.ipcp.last.filter(|_| self.ipcp.requests > MANY && !self.ipcp.agreed);
        let rejected = self.rejected.filter(|_| !self.ipcp.agreed && !self.ipv6_agreed);
        if let Some(at) = rejected {
            facts.push(Fact::Link(LinkState::ProtocolRejected), at);
        } else if let Some(at) = silent(&self.ipcp).or(disagrees) {
            facts.push(Fact::Session(SessionState::NoAddress), at);
        } else if let Some(at) = silent(&self.lcp) {
            facts.push(Fact::Link(LinkState::Failed), at);
        }
    }
}

/// Where a line tells that IPCP (0x8021, RFC 1332) or IPv6CP (0x8057, RFC 5072) is rejected (RFC 1661 §5.7).
fn protocol_reject(lower: &str) -> Option<usize> {
    let at = ["protrej", "protocol-reject", "protocolreject", "protocol reject"]
        .iter()
        .find_map(|name| lower.find(name))?;
    ["80 21", "8021", "80 57", "8057"]
        .iter()
        .any(|number| lower[at..].contains(number))
        .then_some(at)
}

/// The protocol that a line names, and where.
fn protocol(lower: &str) -> Option<(&'static str, usize)> {
    ["ipcp", "lcp", "pap", "chap"].into_iter().find_map(|name| {
        lower.match_indices(name).find_map(|(at, _)| {
            let free = !lower[..at].ends_with(|c: char| c.is_ascii_alphanumeric());
            let ends = !lower[at + name.len()..].starts_with(|c: char| c.is_ascii_alphanumeric());
            (free && ends).then_some((name, at))
        })
    })
}

fn direction(lower: &str, rest: &str) -> Option<Direction> {
    let has = |words: &[&str]| words.iter().any(|word| lower.contains(word));
    // `ipcp<`, `lcp>`: the mark directly behind the protocol.
    let mark = rest.trim_start_matches(|c: char| c.is_ascii_alphanumeric()).chars().next();
    if has(&["rcvd", "received", "recv", "<-- "]) || rest.contains(": rec") || mark == Some('<') {
        Some(Direction::Received)
    } else if has(&["sent", "send", "--> "]) || mark == Some('>') {
        Some(Direction::Sent)
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(lines: &[&str]) -> Vec<Fact> {
        let (mut link, mut facts) = (Link::default(), Facts::default());
        for line in lines {
            assert!(link.read(line, 0, &mut facts), "{line}");
        }
        link.finish(&mut facts);
        facts.drain().map(|(fact, _)| fact).collect()
    }

    #[test]
    fn address_requests_without_an_answer() {
        let silent = ["sent [IPCP ConfReq id=0x1 <addr 0.0.0.0>]"; 4];
        assert_eq!(read(&silent), [Fact::Session(SessionState::NoAddress)]);
        let mut answered = silent.to_vec();
        answered.push("rcvd [IPCP ConfNak id=0x4 <addr 192.0.2.17>]");
        assert_eq!(read(&answered), []);
        let refused = [
            "ipcp> Configure-Request id 4 addr 0.0.0.0",
            "ipcp< Configure-Nak id 4 dns1 192.0.2.53",
        ];
        assert_eq!(read(&refused.repeat(4)), [Fact::Session(SessionState::NoAddress)]);
        let mut agreed = refused.repeat(4);
        agreed.push("ipcp< Configure-Ack id 5 addr 192.0.2.17");
        assert_eq!(read(&agreed), []);
        assert_eq!(read(&["IPCP: SendConfigReq #7"; 3]), [Fact::Session(SessionState::NoAddress)]);
    }

    #[test]
    fn a_protocol_that_the_peer_rejects() {
        let rejected = [
            "sent [IPCP ConfReq id=0x1 <addr 0.0.0.0>]",
            "rcvd [LCP ProtRej id=0x3 80 21 01 01 00 0a]",
        ];
        assert_eq!(read(&rejected), [Fact::Link(LinkState::ProtocolRejected)]);
        assert_eq!(
            read(&["received Protocol-Reject for IPv6CP (0x8057)"]),
            [Fact::Link(LinkState::ProtocolRejected)]
        );
        assert_eq!(read(&["sent [LCP ProtRej id=0x2 80 57 01]"]), []);
        let both = [rejected[1], "rcvd [IPCP ConfAck id=0x2 <addr 192.0.2.17>]"];
        assert_eq!(read(&both), []);
    }

    #[test]
    fn a_refused_login() {
        assert_eq!(
            read(&["rcvd [PAP AuthNak id=0x1 \"\"]"]),
            [Fact::Link(LinkState::AuthenticationFailed)]
        );
        assert!(!Link::default().read("the lcp is fine", 0, &mut Facts::default()));
    }
}
