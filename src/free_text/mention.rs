//! States that stand in people's sentences and in host programs' words, not in replies.
//!
//! Common practice, no source: the wordings are those that turn up in pasted logs.

use super::host;
use super::keywords::Readings;
use crate::case::{Cell, Domain, Fact, Facts, Quantity, Registration};
use crate::span::Span;

/// Reads a line of words in which something was `found`; `base` is where it begins.
pub(super) fn read(line: &str, found: Readings, base: usize, dialogue: bool, facts: &mut Facts) {
    let lower = line.to_ascii_lowercase();
    if found.holds(Readings::NAME) {
        intended_name(line, &lower, base, facts);
    }
    if is_hypothetical(&lower) {
        return;
    }
    if found.holds(Readings::REGISTRATION) {
        registration(line, base, facts);
        functionality(&lower, base, facts);
    }
    if found.holds(Readings::CARD) {
        name_in_program(line, &lower, base, facts);
        super::card::read(&lower, base, facts);
    }
    if found.holds(Readings::BANDS) || found.holds(Readings::CARD) {
        super::bands::read(&lower, base, facts);
    }
    if found.holds(Readings::RESTARTS) {
        super::restarts::read(&lower, base, facts);
    }
    if found.holds(Readings::STATUS) {
        super::status::read(&lower, base, facts);
    }
    if found.holds(Readings::PIN) {
        pin_again(&lower, base, facts);
    }
    if found.holds(Readings::SILENCE) {
        super::silence::read(line, &lower, base, facts);
    }
    if !dialogue {
        host::read(found, &lower, base, facts);
    }
    let reason = found.holds(Readings::REASON);
    if reason || found.holds(Readings::CAUSE) && super::causes::has_cause(&lower) {
        super::causes::read(&lower, base, facts);
    }
    if found.holds(Readings::SIGNAL) {
        signal(&lower, base, facts);
        super::levels::read(&lower, base, facts);
    }
}

/// `const char apn[] = "gauge.example"`, `my apn is gauge.example`: the name that is meant, where the
/// word stands before it. Settings that were sent are commands, which are read elsewhere.
fn intended_name(line: &str, lower: &str, base: usize, facts: &mut Facts) {
    if ["for example", "e.g.", "such as"].iter().any(|w| lower.contains(w)) {
        return;
    }
    for (at, _) in lower.match_indices("apn") {
        let before = lower[..at].chars().next_back();
        if before.is_some_and(|c| c.is_ascii_alphanumeric() && c != '_') {
            continue;
        }
        let rest = &line[at + 3..];
        let told = rest.trim_start_matches(|c: char| {
            matches!(c, '[' | ']' | '_' | ' ' | '*') || c.is_ascii_digit()
        });
        let marks = ["=", ":", "is ", "to ", "should be ", "must be ", "has to be "];
        let marked = marks.iter().find_map(|m| Some((*m, told.strip_prefix(m)?.trim_start())));
        let Some((mark, value)) = marked else { continue };
        let quoted = value.starts_with(['"', '\'', '`', '\u{201c}']);
        let name: &str = value
            .trim_start_matches(['"', '\'', '`', '\u{201c}'])
            .split(|c: char| !(c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_')))
            .next()
            .unwrap_or("")
            .trim_end_matches('.');
        // A bare word of a sentence is a name only with a dot inside.
        let plausible = name.len() >= 3
            && name.starts_with(|c: char| c.is_ascii_alphanumeric())
            && name.bytes().any(|b| b.is_ascii_alphabetic())
            && (quoted || mark == "=" || name.contains('.'))
            && !["none", "null", "nil", "true", "false", "char", "self"]
                .iter()
                .any(|w| name.eq_ignore_ascii_case(w));
        if plausible {
            let start = base + (name.as_ptr() as usize - line.as_ptr() as usize);
            facts.push(Fact::IntendedName(name.to_owned()), Span::new(start, start + name.len()));
        }
    }
}

/// `the card is another seller's and the script says "weir"`: a name in quotes that a program holds,
/// in a sentence that speaks of the card or of who sold it.
fn name_in_program(line: &str, lower: &str, base: usize, facts: &mut Facts) {
    const OF_CARD: &[&str] = &["card", "sim", "seller", "carrier", "operator", "provider"];
    const PROGRAM: &[&str] = &["sketch", "code", "program", "script", "config", "settings"];
    const HOLDS: &[&str] = &["says", "has", "uses", "sets", "holds", "contains"];
    let words: Vec<&str> = lower.split(|c: char| !c.is_alphanumeric()).collect();
    let speaks_of_card = words.iter().any(|w| OF_CARD.contains(w));
    let holds = words.windows(2).any(|pair| PROGRAM.contains(&pair[0]) && HOLDS.contains(&pair[1]));
    if !speaks_of_card || !holds {
        return;
    }
    let from = HOLDS.iter().filter_map(|w| lower.find(&format!(" {w} "))).max().unwrap_or(0);
    for quote in ['`', '"', '\''] {
        let mut parts = line[from..].split(quote);
        let (Some(before), Some(name), Some(_)) = (parts.next(), parts.next(), parts.next()) else {
            continue;
        };
        let shaped = name.len() >= 3
            && name.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'.' | b'-'))
            && name.bytes().any(|b| b.is_ascii_lowercase())
            && !lower[from..].contains("at+");
        if shaped {
            let start = base + from + before.len() + quote.len_utf8();
            facts.push(Fact::IntendedName(name.to_owned()), Span::new(start, start + name.len()));
            return;
        }
    }
}

/// `but asking again it wants the pin again`.
fn pin_again(lower: &str, base: usize, facts: &mut Facts) {
    let word = |w: &str| {
        lower.match_indices(w).map(|(i, _)| i).find(|&i| {
            let free = |c: Option<char>| !c.is_some_and(char::is_alphanumeric);
            free(lower[..i].chars().next_back()) && free(lower[i + w.len()..].chars().next())
        })
    };
    let asks = ["wants", "asks", "asking", "needs", "requires", "demands"];
    if let (Some(pin), true) = (word("pin"), word("again").is_some())
        && asks.iter().any(|w| word(w).is_some())
    {
        facts.push(Fact::PinAskedAgain, Span::new(base + pin, base + pin + 3));
    }
}

/// A sentence about what ought to be says nothing of what is.
pub(crate) fn is_hypothetical(lower: &str) -> bool {
    const WORDS: [&str; 9] = [
        "should ",
        "expected",
        "supposed",
        "would be",
        "for example",
        "e.g.",
        " if the ",
        " if a ",
        " if no ",
    ];
    WORDS.iter().any(|w| lower.contains(w))
}

/// `with +CREG? the answer was 0,2`: a pair of small numbers behind the name of a command.
fn registration(line: &str, base: usize, facts: &mut Facts) {
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
        let mut told: Vec<(usize, usize, u8)> =
            pairs(part).into_iter().map(|(at, stat)| (at, 3, stat)).collect();
        if told.is_empty() {
            told.extend(answered(&part.to_ascii_lowercase()).map(|(at, stat)| (at, 1, stat)));
        }
        for (at, length, stat) in told {
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
    use super::super::keywords::readings;
    use super::*;
    use crate::case::Host;

    fn facts(line: &str) -> Vec<Fact> {
        let mut facts = Facts::default();
        read(line, readings(line), 0, false, &mut facts);
        facts.drain().map(|f| f.0).collect()
    }

    fn states(line: &str) -> Vec<(Domain, u8)> {
        facts(line)
            .iter()
            .filter_map(|f| match f {
                Fact::Registration(r) => Some((r.domain, r.stat)),
                _ => None,
            })
            .collect()
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

    #[test]
    fn words_of_the_host_are_known() {
        assert_eq!(
            facts("PermissionError: [Errno 13] Permission denied: '/dev/ttyS0'"),
            [Fact::Host(Host::PortDenied)]
        );
        assert_eq!(facts("12:00 -> Signal:99"), [Fact::no_value(Quantity::Rssi, Cell::Serving)]);
        assert_eq!(facts("the weather is fine"), []);
    }

    #[test]
    fn the_name_that_is_meant_is_read_where_it_is_marked() {
        let names = |line: &str| -> Vec<String> {
            let mut facts = Facts::default();
            super::read(line, readings(line), 0, false, &mut facts);
            let named = |f| if let Fact::IntendedName(n) = f { Some(n) } else { None };
            facts.drain().filter_map(|(f, _)| named(f)).collect()
        };
        assert_eq!(names("const char apn[] = \"gauge.example\";"), ["gauge.example"]);
        assert_eq!(names("the APN is gauge.example. It worked"), ["gauge.example"]);
        assert_eq!(names("--apn=gauge --pin=none"), ["gauge"]);
        assert_eq!(names("APN: unknown to me"), [] as [String; 0]);
        assert_eq!(names("snapns = 5, apn = None"), [] as [String; 0]);
    }

    #[test]
    fn a_name_that_a_program_holds_is_meant_where_the_sentence_is_about_the_card() {
        let named = |line: &str| {
            let name =
                |f: &Fact| if let Fact::IntendedName(n) = f { Some(n.clone()) } else { None };
            facts(line).iter().find_map(name)
        };
        assert_eq!(
            named("the card is of another seller, and the sketch says `weir.example`").as_deref(),
            Some("weir.example")
        );
        assert_eq!(
            named("My carrier is new and the config has \"gauge\" in it").as_deref(),
            Some("gauge")
        );
        for other in [
            "the sketch says `weir.example`",
            "my card is old and the program says nothing",
            "with this sim the code has `AT+CGDCONT=1` in it",
            "the sim is fine, the code says `OK`",
        ] {
            assert_eq!(named(other), None, "{other}");
        }
    }
}
