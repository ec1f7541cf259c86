//! The card as a record or a page shows it beyond its state: attempts that are left, applications.
//!
//! ```text
//! "state":"SIM PIN","tries":2        application-count = 0        pin: remaining = 3
//! ```
//!
//! Common practice, no source.

use super::key_value::Pair;
use super::scope::{Scope, has};
use crate::case::{Fact, Facts, Sim};
use crate::span::Span;

/// Reads the pairs of a line; `lower` is it in small letters, `base` where it begins.
pub(super) fn read(pairs: &[Pair<'_>], lower: &str, scope: &Scope, base: usize, facts: &mut Facts) {
    for pair in pairs {
        attempts(pair, lower, scope, base, facts);
        applications(pair, base, facts);
    }
}

/// `tries=1`, `remaining : 3`, `pin attempts left: 2`: where the line or its section speaks of the PIN.
fn attempts(pair: &Pair<'_>, lower: &str, scope: &Scope, base: usize, facts: &mut Facts) {
    let key = pair.key.to_ascii_lowercase().replace(['_', '-', '.'], " ");
    if !has(&key, &["tries", "attempts", "retries", "remaining", "retry", "left"]) {
        return;
    }
    let Ok(left @ 0..=10) = pair.value.parse::<u8>() else { return };
    let span = Span::new(base + pair.start, base + pair.end);
    if has(&key, &["puk"]) {
        facts.push(Fact::PukTries(left), span);
    } else if has(lower, &["pin", "pin1"]) || scope.is_under(&["pin", "pin1", "query pin"]) {
        facts.push(Fact::PinTries(left), span);
    }
}

/// A card that is present and has no application: nothing on it is enabled (ETSI TS 102 221 §13.1 lists them).
fn applications(pair: &Pair<'_>, base: usize, facts: &mut Facts) {
    let key = pair.key.to_ascii_lowercase();
    let counted =
        key.contains("application") && (key.contains("count") || key.ends_with("applications"));
    if counted && matches!(pair.value, "0" | "none") {
        facts.push(Fact::Sim(Sim::NoProfile), Span::new(base + pair.start, base + pair.end));
    }
}
