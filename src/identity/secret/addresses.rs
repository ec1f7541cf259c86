//! Addresses that name a subscriber or its device: IPv4, IPv6, both as TS 27.007 §10.1.23 prints them, and those of
//! network interfaces. Special addresses (RFC 6890) name nobody and stay.

use super::found::{Secret, SecretKind};
use std::net::{Ipv4Addr, Ipv6Addr};
use std::ops::Range;

/// Finds the addresses of one line.
pub(super) fn find(line: &str, found: &mut Vec<Secret>) {
    let bytes = line.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        let part = |b: &u8| b.is_ascii_hexdigit() || matches!(b, b'.' | b':');
        let length = bytes[at..].iter().take_while(|b| part(b)).count();
        if length == 0 {
            at += 1;
            continue;
        }
        let word = at..at + length;
        at += length;
        let alone = |b: Option<&u8>| !b.is_some_and(|b| b.is_ascii_alphanumeric() || *b == b'_');
        let before = word.start.checked_sub(1).and_then(|p| bytes.get(p));
        // Every address has dots or colons.
        let parted = bytes[word.clone()].iter().any(|b| matches!(b, b'.' | b':'));
        if parted && alone(before) && alone(bytes.get(word.end)) {
            let text = line[word.clone()].trim_matches('.');
            let start = word.start + line[word.clone()].find(text).unwrap_or(0);
            let addresses = [
                dotted(text, start),
                version_6(text.trim_end_matches(':'), start),
                hardware(line, text, start),
            ];
            let mut addresses = addresses.into_iter().flatten().peekable();
            if addresses.peek().is_some() && !is_version(line, word.start) {
                found.extend(addresses);
            }
        }
    }
}

/// Whether the number of a version or of a clause may stand there.
fn is_version(line: &str, at: usize) -> bool {
    const NEAR: usize = 40;
    let from = line.floor_char_boundary(at.saturating_sub(NEAR));
    let before = line[from..at].to_ascii_lowercase();
    [
        "version", "revision", "firmware", "release", "build", "fw", "sw", "hw", "§", "clause",
        " ts ", "(ts ",
    ]
    .iter()
    .any(|w| before.contains(w))
}

/// Four, eight, sixteen or thirty-two numbers with dots in between.
fn dotted(text: &str, at: usize) -> Option<Secret> {
    if !text.contains('.') {
        return None;
    }
    let octets: Option<Vec<u8>> = text
        .split('.')
        .map(|o| o.parse().ok().filter(|_| o.len() == 1 || !o.starts_with('0')))
        .collect();
    let octets = octets?;
    let end = |n: usize| text.match_indices('.').nth(n - 1).map_or(text.len(), |(at, _)| at);
    let (shown, hidden) = match octets.len() {
        4 | 8 => {
            let address = Ipv4Addr::new(octets[0], octets[1], octets[2], octets[3]);
            (kept_4(address)?, end(4))
        }
        16 | 32 if octets[0] != 0 => (4, end(16)),
        _ => return None,
    };
    let keep = end(shown);
    Some(Secret { range: at..at + hidden, kind: SecretKind::Address, keep })
}

/// How many of the numbers of an address may be seen; `None` for one that names nobody.
fn kept_4(address: Ipv4Addr) -> Option<usize> {
    let [a, b, ..] = address.octets();
    let names_nobody = address.is_unspecified()
        || address.is_loopback()
        || address.is_link_local()
        || address.is_broadcast()
        || address.is_multicast()
        || address.is_documentation()
        || a == 0
        || a == 255
        || (a, b) == (192, 168);
    match (a, b) {
        _ if names_nobody => None,
        (172, 16..=31) | (100, 64..=127) => Some(2),
        _ => Some(1),
    }
}

fn version_6(text: &str, at: usize) -> Option<Secret> {
    let address: Ipv6Addr = text.parse().ok()?;
    let [first, second, ..] = address.segments();
    let names_nobody = address.is_unspecified()
        || address.is_loopback()
        || address.is_multicast()
        || first & 0xffc0 == 0xfe80
        || (first, second) == (0x2001, 0xdb8);
    let keep = text.match_indices(':').nth(1).map_or(text.len(), |(at, _)| at);
    (!names_nobody && first != 0).then(|| Secret {
        range: at..at + text.len(),
        kind: SecretKind::Address,
        keep,
    })
}

/// Six bytes with colons in between, where the line says that they are an interface's address.
fn hardware(line: &str, text: &str, at: usize) -> Option<Secret> {
    const NEAR: usize = 40;
    let bytes = text.split(':');
    let six = bytes.clone().count() == 6 && bytes.clone().all(|b| b.len() == 2 && !b.contains('.'));
    if !six {
        return None;
    }
    let from = line.floor_char_boundary(at.saturating_sub(NEAR));
    let before = line[from..at].to_ascii_lowercase();
    let said = ["mac", "ether", "hwaddr", "bssid"].iter().any(|w| before.contains(w));
    let range: Range<usize> = at..at + text.len();
    said.then_some(Secret { range, kind: SecretKind::Hardware, keep: 8 })
}
