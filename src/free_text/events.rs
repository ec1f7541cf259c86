//! What a program logs as an event: a procedure of the network with its result, a session that comes or goes.
//!
//! ```text
//! attach accepted (001-01)        wwan0 registered home 999-70        session 1 up 10.1.0.4        pdn 1 down
//! ```
//!
//! A grammar of subjects and results; the procedures are those of TS 24.301 §5.5 and §6.4, the words of sessions common
//! practice, no source.

use super::polarity::{self, Polarity};
use crate::case::{Fact, Facts, ReportedBy};
use crate::reference::status_words::SessionState;
use crate::span::Span;

/// With these a line is about something above the modem's session, or about a driver.
const OTHERS: [&str; 28] = [
    "vpn",
    "tunnel",
    "ipsec",
    "ike",
    "ikev2",
    "wireguard",
    "wg0",
    "mqtt",
    "mqtts",
    "tcp",
    "tls",
    "lwm2m",
    "ssh",
    "ethernet",
    "eth0",
    "eth1",
    "wlan",
    "wifi",
    "wlan0",
    "socket",
    "server",
    "sip",
    "ims",
    "driver",
    "broker",
    "bluetooth",
    "sms",
    "usbcore",
];

/// Sessions.
const SESSIONS: [&str; 12] = [
    "session", "pdn", "pdp", "bearer", "context", "ctx", "wan", "uplink", "ppp0", "call", "modem",
    "datacall",
];
const UP: [&str; 9] = [
    "up",
    "active",
    "activated",
    "established",
    "open",
    "opened",
    "connected",
    "restored",
    "online",
];
const DOWN: [&str; 8] =
    ["down", "lost", "closed", "deactivated", "inactive", "released", "dropped", "disconnected"];

/// A word of a line with its place.
#[derive(Clone, Copy)]
struct Word<'t> {
    text: &'t str,
    start: usize,
    end: usize,
}

/// Reads a line that a program wrote; `lower` is it in small letters, `base` where it begins.
pub(super) fn read(line: &str, lower: &str, base: usize, facts: &mut Facts) {
    let words = words(lower);
    if words.iter().any(|w| OTHERS.contains(&w.text)) {
        return;
    }
    for at in 0..words.len() {
        let Some((fact, from, to)) = registration(&words, at).or_else(|| session(&words, at))
        else {
            continue;
        };
        let (start, end) = (words[from].start, words[to].end);
        if polarity::of(line, start, end, ReportedBy::Host) == Polarity::Stated {
            facts.push(fact, Span::new(base + start, base + end));
        }
    }
}

/// A registration that ended well, or that the network ended: the fact and the words that say so.
fn registration(words: &[Word<'_>], at: usize) -> Option<(Fact, usize, usize)> {
    let word = |n: usize| words.get(n).map_or("", |w| w.text);
    let procedure = match word(at) {
        "attach" | "registration" | "re-attach" | "reattach" => at,
        "area" if word(at + 1) == "update" => at + 1,
        "tau" => at,
        _ => return registered(words, at),
    };
    let result = procedure + 1;
    match word(result) {
        "accept" | "accepted" | "complete" | "completed" | "succeeded" | "successful" | "ok"
        | "done" => Some((Fact::ReportedState(1), at, result)),
        _ => None,
    }
}

/// `registered home`, `state REGISTERED`: with a word before or behind that makes it a state.
fn registered(words: &[Word<'_>], at: usize) -> Option<(Fact, usize, usize)> {
    let word = |n: Option<usize>| n.and_then(|n| words.get(n)).map_or("", |w| w.text);
    if word(Some(at)) == "detach" {
        let network = word(at.checked_sub(1)) == "requested"
            && word(at.checked_sub(2)) == "network"
            || word(at.checked_sub(1)) == "network";
        return network.then(|| (Fact::Released(true), at - 1, at));
    }
    if word(Some(at)) != "registered" {
        return None;
    }
    let before = word(at.checked_sub(1));
    let denied = ["not", "un", "no", "never", "since", "last", "if"].contains(&before);
    let behind = word(Some(at + 1));
    let roams = [behind, word(Some(at + 2))].iter().any(|w| w.starts_with("roam"));
    let place =
        ["home", "roaming", "on", "to", "in", "lte", "nr", "umts", "gsm", "4g", "5g", "with", "at"];
    let numbered = behind.starts_with(|c: char| c.is_ascii_digit());
    let state = ["state", "status", "is", "now", "reg", "registration", "network", "nas", "emm"]
        .contains(&before);
    let other = behind == "new" || behind == "as";
    let fact = Fact::ReportedState(if roams { 5 } else { 1 });
    (!denied && !other && (place.contains(&behind) || numbered || state || behind.is_empty()))
        .then_some((fact, at, at + usize::from(roams || behind == "home")))
}

/// `session 1 up`, `bearer lost`.
fn session(words: &[Word<'_>], at: usize) -> Option<(Fact, usize, usize)> {
    if !SESSIONS.contains(&words[at].text) {
        return None;
    }
    let number = words
        .get(at + 1)
        .is_some_and(|w| w.text.len() <= 2 && w.text.bytes().all(|b| b.is_ascii_digit()));
    let state = at + 1 + usize::from(number);
    let text = words.get(state)?.text;
    let modem = matches!(words[at].text, "modem" | "wan" | "uplink");
    let fact =
        if UP.contains(&text) && !(modem && matches!(text, "open" | "opened" | "active" | "up")) {
            Fact::Session(SessionState::Active)
        } else if DOWN.contains(&text) && !modem {
            Fact::Session(SessionState::Inactive)
        } else {
            return None;
        };
    Some((fact, at, state))
}

/// The words of a line with their places; a hyphen stays inside.
fn words(lower: &str) -> Vec<Word<'_>> {
    lower
        .split(|c: char| !(c.is_alphanumeric() || c == '-'))
        .filter(|text| !text.is_empty())
        .map(|text| {
            let start = text.as_ptr() as usize - lower.as_ptr() as usize;
            Word { text, start, end: start + text.len() }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn says(line: &str) -> Vec<Fact> {
        let mut facts = Facts::default();
        read(line, &line.to_ascii_lowercase(), 0, &mut facts);
        facts.drain().map(|(fact, _)| fact).collect()
    }

    #[test]
    fn procedures_and_sessions_of_a_log() {
        let up = || Fact::Session(SessionState::Active);
        for (line, read) in [
            ("06:12:35 attach accepted (001-01, tac 0B0B)", vec![Fact::ReportedState(1)]),
            ("t=14.6 emm: attach accept, tac 0x2B11", vec![Fact::ReportedState(1)]),
            ("[lte] tracking area update accepted tac 0x00CA", vec![Fact::ReportedState(1)]),
            ("netd: wwan0 registered home 999-70 technology lte", vec![Fact::ReportedState(1)]),
            ("netd: registered, roaming", vec![Fact::ReportedState(5)]),
            ("[lte] state REGISTERED 001-01 tac 0x00C8 band 8", vec![Fact::ReportedState(1)]),
            ("[lte] pdn 1 up 172.16.90.4", vec![up()]),
            ("10:00:01 wwan: bearer up 100.70.9.30", vec![up()]),
            ("bearer lost, probe unanswered", vec![Fact::Session(SessionState::Inactive)]),
            ("[lte] pdn 1 down", vec![Fact::Session(SessionState::Inactive)]),
            ("[lte] network requested detach, type re-attach required", vec![Fact::Released(true)]),
        ] {
            assert_eq!(says(line), read, "{line}");
        }
    }

    #[test]
    fn drivers_tunnels_requests_and_denials_are_none() {
        for line in [
            "usbcore: registered new interface driver option",
            "tunnel: session up",
            "mqtt session 1 up",
            "emm: attach request plmn 00101",
            "not registered on any network",
            "last registered 2026-03-12 on 99970",
            "waiting for session up",
            "if registered on lte",
            "attach rejected, EMM cause 17",
            "bring-up ctx=1",
        ] {
            assert_eq!(says(line), [], "{line}");
        }
    }
}
