//! That the modem starts over by itself, in a person's words.
//!
//! ```text
//! the module reboots each time it attaches        my modem keeps restarting
//! ```
//!
//! Common practice, no source: the wordings are those that turn up in people's letters.

use crate::case::{Fact, Facts};
use crate::span::Span;

/// What says so alone.
const LOOPS: [&str; 7] = [
    "keeps rebooting",
    "keeps restarting",
    "keeps resetting",
    "boot loop",
    "bootloop",
    "restart loop",
    "reset loop",
];

/// What says so where it comes again, or by itself.
const STARTS: [&str; 3] = ["reboots", "restarts", "resets"];
const AGAIN: [&str; 8] = [
    "by itself",
    "on its own",
    "again and again",
    "every time",
    "each time",
    "every few",
    "whenever",
    "randomly",
];

/// With these another one starts over, or nothing does any more.
const OTHERWISE: [&str; 11] = [
    "router",
    "host",
    "server",
    "gateway",
    "computer",
    "script",
    "service",
    "if ",
    "not ",
    "n't ",
    "no longer",
];

/// Reads a line; `lower` is it in small letters, `base` where it begins.
pub(super) fn read(lower: &str, base: usize, facts: &mut Facts) {
    let any = |words: &[&str]| words.iter().any(|w| lower.contains(w));
    if !any(&["modem", "module"]) || any(&OTHERWISE) || lower.trim_end().ends_with('?') {
        return;
    }
    let first = |words: &[&'static str]| words.iter().find_map(|w| Some((lower.find(w)?, w.len())));
    let found = first(&LOOPS).or_else(|| first(&STARTS).filter(|_| any(&AGAIN)));
    if let Some((at, length)) = found {
        facts.push(Fact::SaidRestarts, Span::new(base + at, base + at + length));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn says(line: &str) -> bool {
        let mut facts = Facts::default();
        read(&line.to_ascii_lowercase(), 0, &mut facts);
        !facts.found().is_empty()
    }

    #[test]
    fn a_person_says_that_it_starts_over() {
        for line in [
            "Each time it tries to attach, the module reboots.",
            "my modem keeps restarting",
            "The modem resets by itself after a minute",
            "the module is in a boot loop",
        ] {
            assert!(says(line), "{line}");
        }
    }

    #[test]
    fn others_restarts_are_none() {
        for line in [
            "the router restarts every time the modem is lost",
            "if the modem restarts by itself, check the supply",
            "I restart the modem every time",
            "does the modem restart by itself, or why the resets?",
            "the modem no longer restarts by itself",
            "after the module restarts it works",
        ] {
            assert!(!says(line), "{line}");
        }
    }
}
