//! That nothing answers at all, in a person's words.
//!
//! ```text
//! I send AT and get nothing.        the module doesn't respond to AT commands
//! ```
//!
//! Common practice, no source: the wordings are those that turn up in people's letters.

use crate::case::{Fact, Facts, Host};
use crate::span::Span;

/// What says that no answer came.
const SILENCE: [&str; 22] = [
    "no response",
    "no answer",
    "no reply",
    "get nothing",
    "gets nothing",
    "got nothing",
    "getting nothing",
    "nothing comes back",
    "nothing came back",
    "nothing back",
    "not respond",
    "n't respond",
    "nt respond",
    "never respond",
    "not answer",
    "n't answer",
    "nt answer",
    "never answer",
    "n't get any response",
    "not get any response",
    "n't get any answer",
    "unresponsive",
];

/// With these it is another one's silence, a passing one, or a guess.
const OTHERWISE: [&str; 30] = [
    "server",
    "http",
    "ping",
    "mqtt",
    "tcp",
    "udp",
    "socket",
    "dns",
    "website",
    "web page",
    "sms",
    "call",
    "support",
    "forum",
    "seller",
    "carrier",
    "operator",
    "provider",
    "network",
    "tower",
    "sometimes",
    "now ",
    "after a while",
    "earlier",
    "yesterday",
    "used to",
    "solved",
    "fixed",
    "if ",
    "unless",
];

/// Reads a line; `lower` is it in small letters, `base` where it begins.
pub(super) fn read(line: &str, lower: &str, base: usize, facts: &mut Facts) {
    let free = |c: Option<char>| !c.is_some_and(|c| c.is_alphanumeric() || c == '+');
    // The one command that every modem answers; another one may be the only one that fails.
    let bare = line
        .match_indices("AT")
        .any(|(at, _)| free(line[..at].chars().next_back()) && free(line[at + 2..].chars().next()));
    let whole = || ["modem", "module"].iter().any(|w| lower.contains(w)) && !lower.contains("at+");
    if !bare && !whole() {
        return;
    }
    let Some((at, said)) = SILENCE.iter().find_map(|said| Some((lower.find(said)?, *said))) else {
        return;
    };
    let other = OTHERWISE.iter().any(|w| lower.contains(w)) || line.trim_end().ends_with('?');
    if !other {
        facts.push(Fact::Host(Host::SaidSilent), Span::new(base + at, base + at + said.len()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn says(line: &str) -> bool {
        let mut facts = Facts::default();
        read(line, &line.to_ascii_lowercase(), 0, &mut facts);
        facts.found().iter().any(|(fact, _)| *fact == Fact::Host(Host::SaidSilent))
    }

    #[test]
    fn a_person_says_that_nothing_answers() {
        for line in [
            "I send AT and get nothing.",
            "The module doesn't respond to AT commands at any speed.",
            "no response at all from the modem",
            "It never answers AT.",
        ] {
            assert!(says(line), "{line}");
        }
    }

    #[test]
    fn another_silence_is_not_the_ports() {
        for line in [
            "AT works, but there is no response from the server",
            "no response to AT+COPS=?",
            "the module does not respond to AT+HTTPACTION=0",
            "if the modem does not respond, check the speed",
            "Why is there no response to AT?",
            "no answer from the carrier about the AT card",
            "I get nothing on the page",
            "the modem was not responding earlier",
        ] {
            assert!(!says(line), "{line}");
        }
    }
}
