//! Settings as pages and configurations show them: technologies that are allowed, bands that are there or switched on,
//! the choice of a network.
//!
//! ```text
//! mode: nr5g-sa-only        allowed: \n lte: false \n nr: true        network mode = LTE only
//! lte-bands-enabled = 3,7        LTE bands   2 4 5 12 (all on)        selection   manual, 99970
//! ```
//!
//! Common practice, no source.

use super::key_value::Pair;
use super::readings;
use super::scope::{Scope, has};
use super::words::split;
use crate::case::{Fact, Facts, Operator, Rat};
use crate::reference::bands::lte_band;
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;

/// What a line under `allowed:` switches, one technology a line, until the list ends.
#[derive(Debug, Default)]
pub(super) struct Allowed {
    on: Vec<Rat>,
    any: Option<Span>,
}

/// Reads the pairs of a line; `base` is where it begins.
pub(super) fn read(pairs: &[Pair<'_>], scope: &Scope, base: usize, facts: &mut Facts) {
    for pair in pairs {
        let key = spaced(pair.key);
        let value = pair.value.to_ascii_lowercase();
        let span = Span::new(base + pair.start, base + pair.end);
        if let Some(allowed) = technologies(&key, &value, scope) {
            facts.push(Fact::AllowedTechnologies(allowed), span);
        }
        choice(&key, &value, span, facts);
        if key.contains("roaming")
            && (has(
                &key,
                &["allowed", "enabled", "permitted", "data", "allow", "policy", "setting"],
            ))
            && let Some(on) = switched(&value)
        {
            facts.push(Fact::RoamingAllowed(on), span);
        }
    }
}

/// A key with blanks for the marks between its words.
fn spaced(key: &str) -> String {
    key.to_ascii_lowercase().replace(['_', '-', '.', '/'], " ")
}

fn switched(value: &str) -> Option<bool> {
    // `forbid -> data stays down`: what follows from it is no part of the value.
    match value.split([' ', ',', ';']).next().filter(|w| *w != "not").unwrap_or(value).trim() {
        "yes" | "true" | "on" | "enabled" | "allowed" | "1" => Some(true),
        "no" | "false" | "off" | "disabled" | "forbidden" | "forbid" | "deny" | "never"
        | "not allowed" | "home-only" | "0" => Some(false),
        _ => None,
    }
}

/// The technology that a word names.
pub(super) fn technology(word: &str) -> Option<Rat> {
    Some(match word {
        "gsm" | "2g" | "geran" | "gprs" | "edge" => Rat::Gsm,
        "umts" | "3g" | "utran" | "wcdma" | "utra" | "hspa" => Rat::Utra,
        "lte" | "4g" | "eutran" | "e-utran" | "e-utra" | "eps" => Rat::Lte,
        "lte-m" | "ltem" | "cat-m" | "cat-m1" | "catm1" | "catm" | "emtc" | "m1" => Rat::LteM,
        "nb-iot" | "nbiot" | "nb1" | "nb2" | "cat-nb1" | "cat-nb" => Rat::NbIot,
        "nr" | "5g" | "nr5g" | "5gnr" | "sa" | "nr-sa" | "nr5g-sa" | "ngran" => Rat::Nr,
        _ => return None,
    })
}

/// The technologies of a text, in order, each once.
pub(super) fn technologies_in(text: &str) -> Vec<Rat> {
    let mut found = Vec::new();
    for word in split(text, |c| c.is_ascii_alphanumeric() || c == '-') {
        let whole = technology(word.text.trim_end_matches("-only"));
        let parts = word.text.split('-').filter_map(technology);
        for rat in whole.into_iter().chain(parts) {
            if !found.contains(&rat) {
                found.push(rat);
            }
        }
    }
    // `lte-m` is one technology, and its first half none of its own; so is the 5G of `NSA`, which needs LTE.
    if text.contains("nsa") {
        found.push(Rat::Lte);
    }
    found
}

/// The technologies that a setting allows.
fn technologies(key: &str, value: &str, scope: &Scope) -> Option<Vec<Rat>> {
    let only = has(value, &["only"]) || value.ends_with("-only");
    let listed = has(key, words_of(List::TechnologiesListed));
    let under = scope.is_under(&["allowed", "config", "configuration", "settings", "modes"]);
    let wished = only && has(key, words_of(List::TechnologyWish));
    let setting = has(key, words_of(List::TechnologyKey))
        && (only || listed || under && has(key, &["mode", "technology", "rat"]));
    if !(setting || wished) {
        return None;
    }
    // A remark in brackets speaks of what is not allowed as often.
    let value = value.split('(').next().unwrap_or(value);
    if has(value, &["auto", "automatic", "all", "any"]) {
        return None;
    }
    let found = technologies_in(value);
    (!found.is_empty()).then_some(found)
}

/// `selection: manual, 99970`, `PLMN selection mode = automatic`.
fn choice(key: &str, value: &str, span: Span, facts: &mut Facts) {
    let named =
        has(key, &["selection", "network choice", "operator choice", "cops mode", "plmn mode"])
            && !has(key, &["cell selection", "result", "slot", "card", "sim", "band", "access"]);
    if !named {
        return;
    }
    let mode = if value.starts_with("manual") || value.starts_with("fixed") {
        1
    } else if value.starts_with("auto") {
        0
    } else {
        return;
    };
    facts.push(Fact::Operator(Operator { mode, name: None, act: None }), span);
}

/// `roaming=disabled`, `roaming is forbidden`: only a setting is disabled; `off` says as well that it does not roam.
pub(super) fn roaming(lower: &str, base: usize, facts: &mut Facts) {
    const DISABLED: [&str; 5] =
        ["disabled", "forbidden", "prohibited", "deactivated", "disallowed"];
    let words = split(lower, |c| c.is_ascii_alphanumeric());
    for (at, word) in words.iter().enumerate().filter(|(_, word)| word.text == "roaming") {
        let mut behind = words[at + 1..].iter();
        let value = behind.find(|w| !w.is(&["is", "data", "access", "mode", "are"]));
        if let Some(value) = value.filter(|value| value.is(&DISABLED)) {
            let span = Span::new(base + word.start, base + value.end);
            return facts.push(Fact::RoamingAllowed(false), span);
        }
    }
}

/// Lists of bands behind keys: `lte-bands-enabled = 3,7`, `LTE bands  2 4 5 12 (all on)`.
pub(super) fn bands(lower: &str, base: usize, facts: &mut Facts) {
    let Some(at) = lower.find("bands") else { return };
    let end_of_key = lower[at..]
        .find([':', '=', '|'])
        .or_else(|| lower[at..].find("  ").map(|gap| gap + 1))
        .map(|gap| at + gap);
    let Some(mark) = end_of_key else { return };
    let key = spaced(&lower[..mark]);
    let list = &lower[mark + 1..];
    if has(&key, &["heard", "neighbour", "neighbor", "carrier", "operator", "site", "gsm", "wifi"])
    {
        return;
    }
    let rat = match () {
        () if has(&key, &["umts", "wcdma", "3g", "utra"]) => Rat::Utra,
        () if has(&key, &["nr", "5g", "n"]) => Rat::Nr,
        () => Rat::Lte,
    };
    let mut numbers: Vec<u16> = Vec::new();
    let (mut start, mut end) = (None, 0);
    for word in split(list, |c| c.is_ascii_alphanumeric()) {
        let number = match rat {
            Rat::Lte => readings::band(word.text).filter(|n| lte_band(*n).is_some()),
            _ => readings::band(word.text.trim_start_matches('b')),
        };
        match number {
            Some(number) => {
                numbers.push(number);
                start.get_or_insert(word.start);
                end = word.end;
            }
            None if numbers.is_empty() && word.text != "none" => {}
            None => break,
        }
    }
    let Some(start) = start else { return };
    let span = Span::new(base + mark + 1 + start, base + mark + 1 + end);
    let behind = &list[end..];
    let enabled = has(&key, words_of(List::BandsEnabled));
    let supported = has(&key, words_of(List::BandsSupported));
    let all_on = has(behind, &["all on", "all enabled", "all active"]);
    if enabled && !supported || all_on {
        facts.push(Fact::EnabledBands(rat, numbers.clone()), span);
    }
    if supported || all_on {
        facts.push(Fact::SupportedBands(rat, numbers), span);
    }
}

/// Whether a line switches one technology; `lte: false` under `allowed:`.
pub(super) fn switch(pair: &Pair<'_>) -> Option<(Rat, bool)> {
    Some((technology(&pair.key.to_ascii_lowercase())?, switched(&pair.value.to_ascii_lowercase())?))
}

impl Allowed {
    /// Takes one line of the list in.
    pub(super) fn take(&mut self, (rat, on): (Rat, bool), span: Span) {
        if on && !self.on.contains(&rat) {
            self.on.push(rat);
        }
        self.any = Some(self.any.map_or(span, |before| before.to(span)));
    }

    /// Notes the list once it has ended.
    pub(super) fn end(&mut self, facts: &mut Facts) {
        if let Some(span) = self.any.take() {
            let on = std::mem::take(&mut self.on);
            if !on.is_empty() {
                facts.push(Fact::AllowedTechnologies(on), span);
            }
        }
    }
}
