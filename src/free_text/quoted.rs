//! What a command answered, as a sentence reports it: `with +CREG? the answer was 0,2`, `signal: 99`.
//!
//! Common practice, no source.

use super::polarity::{self, Polarity};
use crate::case::{Cell, Domain, Fact, Facts, Quantity, Registration, ReportedBy};
use crate::span::Span;

/// Reads a line; `lower` is it in small letters, `base` where it begins.
pub(super) fn read(line: &str, lower: &str, by: ReportedBy, base: usize, facts: &mut Facts) {
    if line.contains('+') {
        registration(line, by, base, facts);
        functionality(lower, base, facts);
    }
    if lower.contains("99") {
        signal(lower, base, facts);
    }
}

/// `with +CREG? the answer was 0,2`: a pair of small numbers behind the name of a command.
fn registration(line: &str, by: ReportedBy, base: usize, facts: &mut Facts) {
    let upper = line.to_ascii_uppercase();
    let mut found: Vec<(usize, Domain)> = Vec::new();
    for domain in [Domain::Circuit, Domain::Packet, Domain::Eps, Domain::FiveG] {
        let name = domain.command();
        found.extend(upper.match_indices(name).map(|(i, _)| (i + name.len(), domain)));
    }
    found.sort_unstable_by_key(|f| f.0);
    for (n, &(from, domain)) in found.iter().enumerate() {
        let upto = found.get(n + 1).map_or(line.len(), |next| next.0);
        let part = &line[from..upto];
        // A colon or equals sign makes it a reply or a setting, which are read elsewhere.
        if part.starts_with([':', '='])
            || part.trim_start().starts_with(':')
                && part.trim_start()[1..].trim_start().starts_with(|c: char| c.is_ascii_digit())
        {
            continue;
        }
        let mut answers: Vec<(usize, usize, u8)> =
            pairs(part).into_iter().map(|(at, stat)| (at, 3, stat)).collect();
        if answers.is_empty() {
            answers.extend(answered(&part.to_ascii_lowercase()).map(|(at, stat)| (at, 1, stat)));
        }
        for (at, length, stat) in answers {
            let place = from + at;
            if polarity::of(line, place, place + length, by) != Polarity::Stated {
                continue;
            }
            let span = Span::new(base + from + at, base + from + at + length);
            facts.push(
                Fact::Registration(Registration { domain, stat, act: None, unsolicited: false }),
                span,
            );
            facts.number(Quantity::RegistrationStat, f64::from(stat), Cell::Serving, span);
        }
    }
}

/// `at+cfun? gives 4`: one digit behind the name of the command.
fn functionality(lower: &str, base: usize, facts: &mut Facts) {
    const NAME: &str = "+cfun";
    let Some(behind) = lower.find(NAME).map(|at| at + NAME.len()) else { return };
    if let Some((at, level)) = answered(&lower[behind..]).filter(|(_, n)| matches!(n, 0 | 1 | 4)) {
        let at = base + behind + at;
        facts.push(Fact::Functionality(level), Span::new(at, at + 1));
    }
}

/// `? shows 2`: where the one digit that answered stands, and the digit; a count of something is none.
fn answered(part: &str) -> Option<(usize, u8)> {
    const VERBS: [&str; 8] =
        ["gives", "returns", "says", "shows", "is", "answers", "reports", "stays"];
    let rest = part.strip_prefix('?')?.trim_start();
    let rest = VERBS.iter().find_map(|verb| rest.strip_prefix(verb))?.trim_start_matches(' ');
    let digit = *rest.as_bytes().first().filter(|b| b.is_ascii_digit())?;
    let behind = &rest[1..];
    let counts = ["times", "minutes", "min", "seconds", "s ", "%", "or ", "dbm", "of "];
    let counted = counts.iter().any(|c| behind.trim_start().starts_with(c));
    (ends(rest.as_bytes(), 1) && !counted).then_some((part.len() - rest.len(), digit - b'0'))
}

/// Whether nothing of a longer number stands here.
fn free(c: Option<&u8>) -> bool {
    c.is_none_or(|c| !c.is_ascii_alphanumeric() && !matches!(c, b'.' | b','))
}

/// Whether a number ends before this place: a stop or comma behind it belongs to the sentence.
fn ends(text: &[u8], at: usize) -> bool {
    match text.get(at) {
        Some(b'.' | b',') => !text.get(at + 1).is_some_and(u8::is_ascii_alphanumeric),
        other => free(other),
    }
}

/// `d,d` and `d.d` that stand free: where, and the second digit.
fn pairs(text: &str) -> Vec<(usize, u8)> {
    let b = text.as_bytes();
    (0..b.len().saturating_sub(2))
        .filter(|&i| {
            matches!(b[i], b'0'..=b'5')
                && matches!(b[i + 1], b',' | b'.')
                && b[i + 2].is_ascii_digit()
                && (i == 0 || free(b.get(i - 1)))
                && ends(b, i + 3)
        })
        .map(|i| (i, b[i + 2] - b'0'))
        .collect()
}

/// `Signal:99`, `signal quality: 99`, `rssi unknown`.
fn signal(lower: &str, base: usize, facts: &mut Facts) {
    for label in ["signal", "signal quality", "csq", "rssi"] {
        let Some(at) = lower.find(label) else { continue };
        if lower[..at].ends_with('+') {
            continue;
        }
        let rest = lower[at + label.len()..].trim_start_matches([' ', ':', '=']);
        let skipped = lower.len() - rest.len();
        let value = rest.starts_with("99")
            && !rest[2..].starts_with(|c: char| c.is_ascii_digit() || c == '%');
        if value && skipped > at + label.len() {
            facts.push(
                Fact::no_value(Quantity::Rssi, Cell::Serving),
                Span::new(base + at, base + skipped + 2),
            );
            return;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn states(line: &str) -> Vec<(Domain, u8)> {
        let mut facts = Facts::default();
        read(line, &line.to_ascii_lowercase(), super::super::voice::of(line), 0, &mut facts);
        let state = |fact| match fact {
            Fact::Registration(r) => Some((r.domain, r.stat)),
            _ => None,
        };
        facts.drain().filter_map(|(fact, _)| state(fact)).collect()
    }

    #[test]
    fn pairs_behind_a_command_in_a_sentence_are_states() {
        assert_eq!(
            states("first +CREG? said 0,0, now with +CGREG? I get 0,5 , good?"),
            [(Domain::Circuit, 0), (Domain::Packet, 5)]
        );
        assert_eq!(
            states("`AT+CREG?`: goes between `0,2` and `0,0`."),
            [(Domain::Circuit, 2), (Domain::Circuit, 0)]
        );
        assert_eq!(states("+CREG? is what I sent on 10.0.0.2"), []);
    }

    #[test]
    fn what_ought_to_be_is_not_what_is() {
        assert_eq!(states("should I get 0,1 from +CREG?"), []);
        assert_eq!(states("+CREG? should say 0,1"), []);
    }
}
