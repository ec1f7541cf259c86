//! Whether anything passed over the link, in the words of the programs that try it.
//!
//! ```text
//! 4 packets transmitted, 0 received, 100% packet loss        64 bytes from 192.0.2.1: icmp_seq=1
//! ping: unknown host gauge.example                            RX packets:0   TX packets:31
//! ```
//!
//! Outputs of the system's own tools; common practice, no source.

use super::words::split;
use crate::case::{Fact, Facts};
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;

/// Reads a line of words in small letters, which begins at `base`.
pub(super) fn read(lower: &str, base: usize, facts: &mut Facts) {
    let failed = first(lower, words_of(List::NotPassed)).map(|(at, length)| (at, length, false));
    let passed = || first(lower, words_of(List::Passed)).map(|(at, length)| (at, length, true));
    let found = failed
        .or_else(passed)
        .or_else(|| received(lower))
        .or_else(|| counters(lower))
        .or_else(|| check(lower))
        .or_else(|| names(lower));
    if let Some((at, length, passed)) = found {
        facts.push(Fact::Traffic(passed), Span::new(base + at, base + at + length));
    }
}

/// Where the first phrase begins that stands in a text from the start of a word or from a sign on, and its length.
fn first(lower: &str, phrases: &[&str]) -> Option<(usize, usize)> {
    let bytes = lower.as_bytes();
    let inside =
        |at: usize| bytes[at - 1].is_ascii_alphanumeric() && bytes[at].is_ascii_alphanumeric();
    (0..bytes.len()).filter(|&at| at == 0 || !inside(at)).find_map(|at| {
        let here = |phrase: &&&str| {
            phrase.as_bytes()[0] == bytes[at] && bytes[at..].starts_with(phrase.as_bytes())
        };
        phrases.iter().find(here).map(|phrase| (at, phrase.len()))
    })
}

/// `5 packets transmitted, 2 received`, `Sent = 4, Received = 0`: of those sent some came back.
fn received(lower: &str) -> Option<(usize, usize, bool)> {
    let words = split(lower, char::is_alphanumeric);
    let at = |list| words.iter().position(|w| w.is(words_of(list)));
    let (sent, got) = (at(List::Sent)?, at(List::Received)?);
    let number = |at: usize| words.get(at)?.text.parse::<u32>().ok();
    let before = |at: usize| {
        let skip = usize::from(
            words.get(at.wrapping_sub(1)).is_some_and(|w| w.is(&["packets", "packet"])),
        );
        number(at.wrapping_sub(1 + skip))
    };
    let (sent_count, count) = match before(sent) {
        Some(count) => (count, before(got).or_else(|| number(got + 1))?),
        None => (number(sent + 1)?, number(got + 1)?),
    };
    let (from, to) = (words[sent.min(got)], words[sent.max(got)]);
    (sent < got && got - sent <= 4 && (1..=10_000).contains(&sent_count) && count <= sent_count)
        .then_some((from.start, to.end - from.start, count > 0))
}

/// `probe 3/3 70 ms`, `check: 192.0.2.1 answered 5/5`, `keepalive ok`, `http 204 ok`, `probe unanswered`.
fn check(lower: &str) -> Option<(usize, usize, bool)> {
    let words: Vec<&str> = lower
        .split(|c: char| !(c.is_alphanumeric() || matches!(c, '/' | '-' | '.')))
        .filter(|word| !word.is_empty())
        .collect();
    let place = |at: usize| words[at].as_ptr() as usize - lower.as_ptr() as usize;
    let last =
        |word: &str| word.rsplit('.').next().is_some_and(|w| words_of(List::Check).contains(&w));
    let address = |word: &&str| word.parse::<std::net::Ipv4Addr>().is_ok();
    let noun = words.iter().position(|w| last(w)).or_else(|| words.iter().position(address))?;
    let end = (noun + 8).min(words.len());
    let of = |at: usize| {
        let ((got, sent), behind) = match words[at].split_once('/') {
            Some(pair) => (pair, at + 1),
            None if words.get(at + 1) == Some(&"of") => ((words[at], *words.get(at + 2)?), at + 3),
            None => return None,
        };
        let (got, sent): (u32, u32) = (got.parse().ok()?, sent.parse().ok()?);
        let mut beside = words.iter().skip(behind).take(2).chain(&words[at - 1..at]);
        let lost = beside.any(|w| words_of(List::Lost).contains(w));
        (got <= sent && matches!(sent, 1..=1000)).then_some(if lost { got < sent } else { got > 0 })
    };
    let at_address = address(&words[noun]);
    (noun + 1..end).find_map(|at| {
        let before = words[at - 1];
        let denied = matches!(before, "not" | "no" | "never" | "without" | "nicht");
        let passed = match words[at] {
            "ok" | "succeeded" | "delivered" | "alive" if at_address => return None,
            "ok" | "answered" | "replied" | "succeeded" | "delivered" | "reachable" | "alive"
            | "erreichbar" => !denied,
            "200" | "204" if matches!(before, "http" | "https" | "status" | "code") => true,
            "unanswered" | "unreachable" | "lost" => false,
            "no" if at + 1 == words.len() && words[noun].contains("reach") => false,
            "yes" if at + 1 == words.len() && words[noun].contains("reach") => true,
            "failed" | "timeout" | "timed-out"
                if !at_address && !matches!(words[noun], "http" | "https" | "report" | "dns") =>
            {
                false
            }
            // A number behind an address alone counts anything.
            _ if at_address => return None,
            _ if words[noun] == "check" && before != "answered" => return None,
            _ => of(at)?,
        };
        let start = place(noun);
        Some((start, place(at) + words[at].len() - start, passed))
    })
}

/// `rx: 0 bytes … tx: 732 bytes`: sent and nothing received.
fn counters(lower: &str) -> Option<(usize, usize, bool)> {
    let number = |name: &str| {
        let at = lower.find(name)?;
        let rest = lower[at + name.len()..].trim_start_matches([':', ' ', '=', '(']);
        let rest = ["packets", "bytes", "packet", "byte"]
            .iter()
            .find_map(|unit| rest.strip_prefix(unit))
            .unwrap_or(rest)
            .trim_start_matches([':', ' ', '=']);
        let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
        Some((at, rest[..digits].parse::<u64>().ok()?))
    };
    let (at, rx) = number("rx")?;
    let grows = ["up", "rises", "grows", "increases", "counts", "climbs"];
    let rising = || {
        lower.contains("tx")
            && lower.split(|c: char| !c.is_alphabetic()).any(|w| grows.contains(&w))
    };
    let sent = number("tx").map_or_else(rising, |(_, tx)| tx > 0);
    (rx == 0 && sent).then_some((at, 2, false))
}

/// `names do not resolve`, `DNS does not work`: the name service fails.
fn names(lower: &str) -> Option<(usize, usize, bool)> {
    const NAMES: [&str; 5] = ["dns", "names", "hostnames", "hostname", "domain"];
    let split = || lower.split(|c: char| !(c.is_alphanumeric() || c == '\''));
    let noun = split().position(|word| NAMES.contains(&word))?;
    let words: Vec<&str> = split().collect();
    let at = |list: &[&str]| words.iter().position(|w| list.contains(w));
    let verb =
        at(&["resolve", "resolved", "resolves", "resolving", "resolution", "work", "works"])?;
    let denial =
        at(&["not", "don't", "doesn't", "cannot", "can't", "no", "never", "fails", "failed"])?;
    let near = noun.abs_diff(verb) <= 4 && denial.abs_diff(verb) <= 3;
    let asked = lower.trim_end().ends_with('?') || words.contains(&"if");
    (near && !asked).then(|| {
        (words[noun].as_ptr() as usize - lower.as_ptr() as usize, words[noun].len(), false)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn passed(line: &str) -> Option<bool> {
        let mut facts = Facts::default();
        read(&line.to_ascii_lowercase(), 0, &mut facts);
        facts.drain().find_map(|(fact, _)| match fact {
            Fact::Traffic(passed) => Some(passed),
            _ => None,
        })
    }

    #[test]
    fn what_comes_back_and_what_does_not() {
        assert_eq!(passed("64 bytes from 192.0.2.1: icmp_seq=1 ttl=52 time=81.2 ms"), Some(true));
        assert_eq!(
            passed("5 packets transmitted, 5 received, 0% packet loss, time 4006ms"),
            Some(true)
        );
        assert_eq!(passed("5 packets transmitted, 0 received, 100% packet loss"), Some(false));
        assert_eq!(passed("5 packets transmitted, 3 packets received"), Some(true));
        assert_eq!(passed("ping: unknown host gauge.example"), Some(false));
        assert_eq!(passed("RX packets:0 errors:0  TX packets:31"), Some(false));
        assert_eq!(passed("rx: 974 bytes tx: 732 bytes"), None);
        for line in [
            "cell: rsrp -96 | probe 3/3 70 ms",
            "08:00:11 check: 203.0.113.9 answered 5/5",
            "reachability probe 192.0.2.7: 4 of 4 replies",
            "modem keepalive ok",
            "probe: http 204 ok",
            "gauge: report 17 delivered after 2 s",
        ] {
            assert_eq!(passed(line), Some(true), "{line}");
        }
        for line in [
            "probe 5 of 5 lost",
            "keepalive: 4 packets sent, 0 received",
            "    Packets: Sent = 4, Received = 0, Lost = 4 (100% loss),",
            "2026-10-03 12:00:00 reach: 198.51.100.7 not reachable",
            "198.51.100.7 not reachable",
            "ping wwan0: 10/10 packets lost",
        ] {
            assert_eq!(passed(line), Some(false), "{line}");
        }
        assert_eq!(passed("Packets: Sent = 4, Received = 3, Lost = 1 (25% loss)"), Some(true));
        assert_eq!(passed("ping: 1 of 5 lost"), Some(true));
        assert_eq!(passed("session gone, probe unanswered"), Some(false));
        assert_eq!(passed("ping 192.0.2.10 size 1400 df : 0/20, nothing came"), Some(false));
        assert_eq!(passed("net.reach(192.0.2.9) = no"), Some(false));
        assert_eq!(passed("HTTP/1.1 200 OK"), Some(true));
        assert_eq!(passed("the box has no lamp"), None);
        assert_eq!(passed("check the supply, 12/24 V"), None);
        assert_eq!(passed("tx counter of wwan0 goes up, rx = 0"), Some(false));
        assert_eq!(passed("ping by number is fine, names do not resolve"), Some(false));
        assert_eq!(passed("if names do not resolve, set a server"), None);
    }
}
