//! Status pages of hosts and routers: addresses, technologies and bands behind their keys.
//!
//! ```text
//! ipv4address: 10.0.33.108/29                      IP address | 10.64.3.9
//! Modes | current: allowed: 3g; first: 3g     Bands | current: eutran-3, eutran-20
//! ```
//!
//! Common practice, no source. A page in two columns names its section once; a line that begins with a bar goes on in it.

use crate::case::{Fact, Facts, Rat};
use crate::reference::status_words::SessionState;
use crate::span::Span;
use std::net::{IpAddr, Ipv4Addr};

/// The section in which a page stands.
#[derive(Debug, Default)]
pub(super) struct Page {
    section: String,
}

impl Page {
    /// Reads a line of a page or a log.
    pub(super) fn read(&mut self, line: &str, base: usize, facts: &mut Facts) {
        if let Some((first, _)) = line.split_once('|') {
            let first = first.trim().trim_matches(['-', '+']).trim();
            if !first.is_empty() {
                self.section = first.to_ascii_lowercase();
            }
        } else {
            self.section.clear();
        }
        address(line, base, facts);
        self.modes(line, base, facts);
    }

    fn modes(&self, line: &str, base: usize, facts: &mut Facts) {
        let lower = line.to_ascii_lowercase();
        let topic =
            |word: &str| self.section.starts_with(word) || lower.trim_start().contains(word);
        let Some(current) = lower.find("current") else {
            if topic("band")
                && let Some(at) = lower.find("supported")
            {
                bands(&lower[at..], base + at, facts, Fact::SupportedBands);
            }
            return;
        };
        let rest = &lower[current..];
        if topic("mode") && rest.contains("allowed") {
            let list =
                rest.split("allowed").nth(1).unwrap_or("").split([';', '|']).next().unwrap_or("");
            let technologies: Vec<Rat> = list
                .split(|c: char| !c.is_ascii_alphanumeric())
                .filter_map(|word| match word {
                    "2g" => Some(Rat::Gsm),
                    "3g" => Some(Rat::Utra),
                    "4g" => Some(Rat::Lte),
                    "5g" => Some(Rat::Nr),
                    _ => None,
                })
                .collect();
            if !technologies.is_empty() {
                let span = Span::new(base + current, base + line.trim_end().len());
                facts.push(Fact::AllowedTechnologies(technologies), span);
            }
        } else if topic("band") {
            bands(rest, base + current, facts, Fact::EnabledBands);
        }
    }
}

/// `eutran-3, eutran-20`, `utran-1`: band numbers behind the name of their radio access network.
fn bands(list: &str, base: usize, facts: &mut Facts, fact: fn(Rat, Vec<u16>) -> Fact) {
    for (name, rat) in [("eutran-", Rat::Lte), ("ngran-", Rat::Nr), ("utran-", Rat::Utra)] {
        let found: Vec<u16> = list
            .split([',', ' ', '|'])
            .filter_map(|word| word.trim().strip_prefix(name)?.parse().ok())
            .collect();
        if !found.is_empty() {
            let span = Span::new(base, base + list.trim_end().len());
            facts.push(fact(rat, found), span);
        }
    }
}

/// An address that the network gave, behind a key that says so.
fn address(line: &str, base: usize, facts: &mut Facts) {
    let lower = line.to_ascii_lowercase();
    // Other addresses of a page, and those of other interfaces.
    let other = [
        "gateway",
        "dns",
        "server",
        "mask",
        "route",
        "ping",
        "peer",
        "lan",
        "remote",
        "broadcast",
        "via",
        "from",
        "eth",
    ];
    if other.iter().any(|word| lower.contains(word)) {
        return;
    }
    let keys = [
        "ipv4address",
        "ipv6address",
        "ipv4 address",
        "ipv6 address",
        "ip address",
        "ip addr",
        "ip:",
        "ip=",
        "inet ",
    ];
    let Some((key, at)) = keys.iter().find_map(|key| Some((*key, lower.find(key)?))) else {
        return;
    };
    let rest =
        line[at + key.len()..].trim_start_matches([' ', ':', '=', '|', '"', '\'', '(', '\t']);
    let end = rest
        .find(|c: char| !(c.is_ascii_hexdigit() || matches!(c, '.' | ':' | 'x' | 'X' | '*')))
        .unwrap_or(rest.len());
    // The end of an address is often masked by whoever pastes it: `10.64.xx.xx`.
    let written = rest[..end].trim_end_matches([':', '.']).to_ascii_lowercase();
    let whole: Vec<&str> =
        written.split('.').map(|part| if part.contains(['x', '*']) { "1" } else { part }).collect();
    let Ok(ip) = whole.join(".").parse::<IpAddr>() else { return };
    if is_from_the_network(ip) {
        let start = line.len() - rest.len();
        let span = Span::new(base + start, base + start + end);
        facts.push(Fact::Session(SessionState::Active), span);
    }
}

/// Whether an address can be one that a network gives to a modem: not zero, loopback, link-local, or of the usual
/// home ranges of routers (192.168.0.0/16, common practice).
fn is_from_the_network(ip: IpAddr) -> bool {
    match ip {
        IpAddr::V4(v4) => {
            let home = v4.octets()[..2] == [192, 168];
            v4 != Ipv4Addr::UNSPECIFIED
                && !v4.is_loopback()
                && !v4.is_link_local()
                && !v4.is_broadcast()
                && !home
        }
        IpAddr::V6(v6) => {
            !v6.is_unspecified() && !v6.is_loopback() && (v6.segments()[0] & 0xffc0) != 0xfe80
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts(lines: &[&str]) -> Vec<Fact> {
        let (mut page, mut facts) = (Page::default(), Facts::default());
        for line in lines {
            page.read(line, 0, &mut facts);
        }
        facts.drain().map(|(fact, _)| fact).collect()
    }

    #[test]
    fn an_address_of_the_network_shows_an_open_session() {
        for line in [
            "  ipv4address: 10.0.33.108/29",
            "local  IP address 100.64.3.9",
            "wwan0 inet 10.9.8.7/30",
        ] {
            assert_eq!(facts(&[line]), [Fact::Session(SessionState::Active)], "{line}");
        }
        for line in [
            "IP address: 0.0.0.0",
            "LAN IP address: 192.168.1.1",
            "wwan0 inet 169.254.3.4",
            "ip address of the DNS: 192.0.2.1",
        ] {
            assert_eq!(facts(&[line]), [], "{line}");
        }
    }

    #[test]
    fn technologies_and_bands_of_a_page_in_columns() {
        let page =
            ["Modes | supported: allowed: 2g, 3g, 4g", "      | current: allowed: 3g; first: 3g"];
        assert_eq!(facts(&page), [Fact::AllowedTechnologies(vec![Rat::Utra])]);
        let page = ["Bands | supported: eutran-3, eutran-20", "| current: eutran-20, utran-1"];
        assert_eq!(
            facts(&page),
            [
                Fact::SupportedBands(Rat::Lte, vec![3, 20]),
                Fact::EnabledBands(Rat::Lte, vec![20]),
                Fact::EnabledBands(Rat::Utra, vec![1]),
            ]
        );
    }
}
