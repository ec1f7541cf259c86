//! The profiles of an eUICC as tools list them: rows with their state, and a count.
//!
//! ```text
//! [0] name "bootstrap"   class operational   state disabled        get-profiles-info: 0 profile(s)
//! ```
//!
//! The states are those of SGP.22 §2.4.5.3, enabled and disabled; the layouts common practice, no source.

use crate::case::{Fact, Facts, ReportedBy, Sim};
use crate::span::Span;

/// What the lists so far show.
#[derive(Debug, Default)]
pub(super) struct Profiles {
    disabled: Option<Span>,
    none: Option<Span>,
    enabled: bool,
    /// Whether the text speaks of an eUICC or of profiles.
    named: bool,
}

impl Profiles {
    /// Reads a line; `lower` is it in small letters, `base` where it begins.
    pub(super) fn read(&mut self, lower: &str, base: usize) {
        let has = |words: &[&str]| words.iter().any(|word| lower.contains(word));
        let mentions = has(&["euicc", "esim", "profile", "eid"]);
        // Nearly every line is done here.
        let goes_on = self.named && has(&["abled"]);
        if !mentions && !goes_on {
            return;
        }
        self.named |= mentions;
        let span = Span::new(base, base + lower.trim_end().len());
        let words: Vec<&str> =
            lower.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty()).collect();
        let number = words.iter().any(|w| (18..=20).contains(&w.len()) && w.starts_with("89"));
        let row = number
            || has(&["class ", "operational", "bootstrap", "provisioning", "nickname", "iccid"])
            || words.iter().enumerate().any(|(at, word)| {
                // `profile 1: disabled`, and not `switched off in the profile: attach disabled`.
                word.starts_with("profile")
                    && words[at + 1..].iter().take(3).any(|w| w.ends_with("abled"))
            });
        match (words.contains(&"disabled"), words.contains(&"enabled")) {
            (true, false) if row => self.disabled = Some(span),
            (false, true) if row => self.enabled = true,
            _ => {}
        }
        let counted = words.windows(2).any(|pair| {
            matches!(pair, ["0" | "no", "profile" | "profiles"] | ["profiles", "0" | "none"])
        });
        if counted && !words.contains(&"not") {
            self.none = Some(span);
        }
    }

    /// Notes that no profile is enabled, where the whole text shows it.
    pub(super) fn finish(&self, facts: &mut Facts) {
        if let Some(at) = self.none.or(self.disabled).filter(|_| !self.enabled) {
            facts.said_by(ReportedBy::Host);
            facts.push(Fact::Sim(Sim::NoProfile), at);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn none_enabled(text: &str) -> bool {
        let (mut profiles, mut facts) = (Profiles::default(), Facts::default());
        for line in text.lines() {
            profiles.read(&line.to_ascii_lowercase(), 0);
        }
        profiles.finish(&mut facts);
        !facts.found().is_empty()
    }

    #[test]
    fn a_list_without_an_enabled_profile_shows_none() {
        for text in [
            "profiles 2\n [0] name \"a\" class operational state disabled\n [1] name \"b\" class operational state disabled\n",
            "lpa: get-profiles-info: 0 profile(s)\n",
            "eSIM\n 1  8900101000000000017   north   DISABLED\n",
            "Profiles: none\n",
        ] {
            assert!(none_enabled(text), "{text}");
        }
        for text in [
            "profiles 2\n [0] name \"a\" class operational state disabled\n [1] name \"b\" class operational state enabled\n",
            "the profile of the carrier has voice disabled and data enabled\n",
            "wifi disabled\n",
            "eUICC found\nroaming disabled\n",
        ] {
            assert!(!none_enabled(text), "{text}");
        }
    }
}
