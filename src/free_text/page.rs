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
use crate::reference::word_lists::{List, words_of};
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
    let mut before = ["", ""];
    let words = lower
        .split(|c: char| !(c.is_ascii_alphanumeric() || matches!(c, '.' | ':' | '*' | '-' | '_')));
    let all: Vec<&str> =
        words.filter(|word| !word.trim_matches([':', '.', '-']).is_empty()).collect();
    if all.iter().any(|word| words_of(List::AddressElsewhere).contains(&word.trim_matches(':'))) {
        return;
    }
    for word in all {
        let written = word.trim_matches([':', '.', '-']);
        let key = before[1].rsplit(['.', '_', '-']).next().unwrap_or("");
        let keyed = words_of(List::AddressKey).contains(&key)
            && !words_of(List::OtherAddress)
                .iter()
                .any(|o| before[0].trim_matches(':') == *o || before[1].contains(o));
        // The end of an address is often masked by whoever pastes it: `10.64.xx.xx`.
        let whole: Vec<&str> =
            written.split('.').map(|p| if p.contains(['x', '*']) { "1" } else { p }).collect();
        if keyed
            && written.contains(['.', ':'])
            && whole.join(".").parse::<IpAddr>().is_ok_and(is_from_the_network)
        {
            let start = written.as_ptr() as usize - lower.as_ptr() as usize;
            let span = Span::new(base + start, base + start + written.len());
            facts.push(Fact::Session(SessionState::Active), span);
            return;
        }
        // `ip:10.0.0.1` is one word.
        before = match word.split_once(':') {
            Some((key, "")) => [before[1], key],
            _ => [before[1], word.trim_matches([':', '.'])],
        };
    }
}

/// How long the address is that a text begins with, where a network gave it.
fn from_the_network(rest: &str) -> Option<usize> {
    let end = rest
        .find(|c: char| !(c.is_ascii_hexdigit() || matches!(c, '.' | ':' | 'x' | 'X' | '*')))
        .unwrap_or(rest.len());
    // The end of an address is often masked by whoever pastes it: `10.64.xx.xx`.
    let written = rest[..end].trim_end_matches([':', '.']).to_ascii_lowercase();
    let whole: Vec<&str> =
        written.split('.').map(|part| if part.contains(['x', '*']) { "1" } else { part }).collect();
    let ip = whole.join(".").parse::<IpAddr>().ok()?;
    is_from_the_network(ip).then_some(end)
}

/// The first address of a line in small letters that is the modem's own: none of a name server, a gateway or a peer
/// stands before it.
pub(super) fn own_address(lower: &str) -> Option<(usize, usize)> {
    let mut from = 0;
    while let Some(at) = lower[from..].find(|c: char| c.is_ascii_digit()).map(|at| from + at) {
        let before = lower[..at].trim_end_matches([' ', ':', '=', '"']);
        let name = before.rsplit(|c: char| !c.is_ascii_alphanumeric()).next().unwrap_or("");
        let others = [
            "dns", "gw", "gateway", "peer", "remote", "mask", "via", "server", "to", "dns1", "dns2",
        ];
        let free = !lower[..at]
            .ends_with(|c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | ':'));
        if free && !others.contains(&name) {
            if let Some(length) =
                from_the_network(&lower[at..]).filter(|n| lower[at..at + n].contains('.'))
            {
                return Some((at, at + length));
            }
        } else if others.contains(&name) {
            return None;
        }
        from = at
            + lower[at..]
                .find(|c: char| !c.is_ascii_alphanumeric() && !matches!(c, '.' | ':'))
                .unwrap_or(lower.len() - at);
    }
    None
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
            "pdn 1 up 172.16.90.4",
            "wwan0 session 1 up ipv4 192.0.2.118/30 gw 192.0.2.117 dns 192.0.2.53",
            "addr=10.9.4.2 sent=221 kB/min",
            "address                       100.91.4.17",
            "  wan.cellular.address = 100.66.0.12",
        ] {
            assert_eq!(facts(&[line]), [Fact::Session(SessionState::Active)], "{line}");
        }
        for line in [
            "IP address: 0.0.0.0",
            "LAN IP address: 192.168.1.1",
            "wwan0 inet 169.254.3.4",
            "ip address of the DNS: 192.0.2.1",
            "gateway                       100.91.4.18",
            "dns address 192.0.2.1",
            "probe 192.0.2.1 answered",
            "tunnel: up 10.8.0.2",
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
