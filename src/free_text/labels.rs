//! The labels of numbers in a line, and where the number of each stands.
//!
//! ```text
//! RSRP: -102 dBm        rsrp -89        "sinr": "4.2 dB"        RSRP / RSRQ : -99 / -12        -91 dBm RSRP
//! ```
//!
//! Common practice, no source.

use super::scope::has;
use crate::case::{Quantity, ReportedBy};
use crate::reference::word_lists::{List, words_of};

/// What a label introduces.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum Kind {
    /// A level or quality with its unit.
    Level(Quantity, &'static str),
    /// `+CSQ`'s own number.
    SignalQuality,
    /// A whole number.
    Count(Quantity),
    Band,
    Area,
    CellIdentity,
}

/// The labels, in small letters; a blank stands for a blank, a hyphen, an underscore, a slash or nothing.
const LABELS: [(&str, Kind); 41] = [
    ("rsrp", Kind::Level(Quantity::Rsrp, "dbm")),
    ("reference signal received power", Kind::Level(Quantity::Rsrp, "dbm")),
    ("rsrq", Kind::Level(Quantity::Rsrq, "db")),
    ("reference signal received quality", Kind::Level(Quantity::Rsrq, "db")),
    ("sinr", Kind::Level(Quantity::Sinr, "db")),
    ("snr", Kind::Level(Quantity::Sinr, "db")),
    ("s n", Kind::Level(Quantity::Sinr, "db")),
    ("signal to noise ratio", Kind::Level(Quantity::Sinr, "db")),
    ("signal to noise", Kind::Level(Quantity::Sinr, "db")),
    ("rssi", Kind::Level(Quantity::Rssi, "dbm")),
    ("rscp", Kind::Level(Quantity::Rscp, "dbm")),
    ("ec io", Kind::Level(Quantity::EcNo, "db")),
    ("ec no", Kind::Level(Quantity::EcNo, "db")),
    ("rxlev", Kind::Level(Quantity::Rxlev, "dbm")),
    ("csq", Kind::SignalQuality),
    ("band", Kind::Band),
    ("lte band", Kind::Band),
    ("lte b", Kind::Band),
    ("earfcn", Kind::Count(Quantity::Earfcn)),
    ("nr arfcn", Kind::Count(Quantity::NrArfcn)),
    ("uarfcn", Kind::Count(Quantity::Uarfcn)),
    ("arfcn", Kind::Count(Quantity::Arfcn)),
    ("pci", Kind::Count(Quantity::Pci)),
    ("pcid", Kind::Count(Quantity::Pci)),
    ("physical cell id", Kind::Count(Quantity::Pci)),
    ("physical cell identity", Kind::Count(Quantity::Pci)),
    ("physical cell", Kind::Count(Quantity::Pci)),
    ("phys cell id", Kind::Count(Quantity::Pci)),
    ("phy cell id", Kind::Count(Quantity::Pci)),
    ("tac", Kind::Area),
    ("tracking area", Kind::Area),
    ("tracking area code", Kind::Area),
    ("lac", Kind::Area),
    ("lac tac", Kind::Area),
    ("location area code", Kind::Area),
    ("cell id", Kind::CellIdentity),
    ("cell identity", Kind::CellIdentity),
    ("cid", Kind::CellIdentity),
    ("eci", Kind::CellIdentity),
    ("nci", Kind::CellIdentity),
    ("ecgi cell", Kind::CellIdentity),
];

/// How much of a text a label takes that stands at its beginning.
fn length(text: &[u8], label: &str) -> Option<usize> {
    let mut at = 0;
    for byte in label.bytes() {
        match text.get(at) {
            Some(b' ' | b'-' | b'_' | b'/') if byte == b' ' => at += 1,
            Some(found) if *found == byte => at += 1,
            _ if byte == b' ' => {}
            _ => return None,
        }
    }
    Some(at)
}

/// The labels of a line in small letters: where each begins and ends. A label is a word, or the end of one: `lte.rsrp`,
/// `ss_rsrp`, `ssrsrp`.
fn labels(lower: &str) -> Vec<(usize, usize, Kind)> {
    /// What may stand before a label without a mark.
    const JOINED: [&str; 4] = ["nr5g", "lte", "ss", "nr"];
    let bytes = lower.as_bytes();
    let longest = |at: usize| {
        let fits =
            LABELS.iter().filter_map(|(label, kind)| Some((length(&bytes[at..], label)?, kind)));
        fits.max_by_key(|(length, _)| *length).map(|(length, kind)| (at, at + length, *kind))
    };
    let mut found = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        let before = at.checked_sub(1).map(|n| bytes[n]);
        // What stands behind the prefix of a response is read by its form, or not at all.
        let starts = bytes[at].is_ascii_lowercase()
            && before.is_none_or(|b| !b.is_ascii_alphanumeric() && b != b'+');
        let joined = || {
            JOINED
                .iter()
                .filter(|j| bytes[at..].starts_with(j.as_bytes()))
                .find_map(|j| longest(at + j.len()))
        };
        let label = if starts { longest(at).or_else(joined) } else { None };
        match label.filter(|(_, end, _)| !bytes.get(*end).is_some_and(u8::is_ascii_lowercase)) {
            Some(label) => {
                at = label.1;
                found.push(label);
            }
            None => at += 1,
        }
    }
    found
}

/// A number that stands behind its label.
pub(super) struct Found<'t> {
    pub(super) kind: Kind,
    /// The words before the label in its part of the line.
    pub(super) before: &'t str,
    pub(super) text: &'t str,
    pub(super) start: usize,
    pub(super) end: usize,
}

/// Every label of a line that has a value.
pub(super) fn find(lower: &str, by: ReportedBy) -> Vec<Found<'_>> {
    let mut found = Vec::new();
    let mut labels = labels(lower);
    let Some((_, first, _)) = labels.first().copied() else { return found };
    // In a sentence a later clause may speak of another thing; what stands in it is not taken.
    let clause = [", ", "; ", ". "].iter().filter_map(|mark| lower[first..].find(mark)).min();
    let end = clause.filter(|_| by != ReportedBy::Host).map_or(lower.len(), |at| first + at);
    let of_other = |part: &str| words_of(List::OtherCell).iter().any(|word| part.contains(word));
    if of_other(&lower[..end]) {
        return found;
    }
    if of_other(&lower[end..]) {
        labels.retain(|(at, ..)| *at < end);
    }
    let mut from = 0;
    while from < labels.len() {
        // `RSRP / RSRQ : -99 / -12`: labels in a row, then their values in a row.
        let joined = |pair: &[(usize, usize, Kind)]| {
            matches!(lower[pair[0].1..pair[1].0].trim(), "/" | "," | "|" | "and")
                && lower[pair[0].1..pair[1].0].len() <= 4
        };
        let row = labels[from..].windows(2).take_while(|pair| joined(pair)).count() + 1;
        let (at, _, _) = labels[from];
        let before = before(lower, at);
        let limited = has(&before.replace(['.', '_', '-'], " "), words_of(List::Limit));
        let mut rest = labels[from + row - 1].1;
        let mut whole = Vec::new();
        for &(start, _, kind) in &labels[from..from + row] {
            let Some((value, stop, end)) = value(lower, rest, kind, by) else { break };
            let text = &lower[value..stop];
            whole.push(Found { kind, before, text, start: start.min(value), end });
            rest = end + lower[end..].find(['/', ',', '|']).map_or(0, |at| at + 1);
        }
        if whole.is_empty() && row == 1 {
            whole.extend(before_label(lower, labels[from], before));
        }
        if whole.len() == row && !limited {
            found.extend(whole);
        }
        from += row;
    }
    found
}

/// What stands before a label in its part of the line.
fn before(lower: &str, at: usize) -> &str {
    let from = lower[..at].rfind([',', ';', '|', '{', '}', '(']).map_or(0, |p| p + 1);
    // A number before it ends what it can belong to.
    let part = &lower[from..at];
    let digit = |c: char| c.is_ascii_digit();
    let cut = part.rfind(|c: char| c.is_whitespace() || c == '=').map_or(0, |space| {
        let words: Vec<&str> = part[..space].split_ascii_whitespace().collect();
        let keep = words
            .iter()
            .rev()
            .take(2)
            .take_while(|w| !w.starts_with(['-', '+']) && !w.ends_with(digit));
        let length: usize = keep.map(|w| w.len() + 1).sum();
        space.saturating_sub(length)
    });
    part.get(cut..).unwrap_or(part)
}

/// `-91 dBm RSRP`: a value before its label.
fn before_label<'t>(
    lower: &'t str,
    (at, end, kind): (usize, usize, Kind),
    before: &'t str,
) -> Option<Found<'t>> {
    let Kind::Level(_, unit) = kind else { return None };
    let head = lower[..at].trim_end_matches([' ', '(']).strip_suffix(unit)?.trim_end();
    let digits = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+');
    let start = head.rfind(|c| !digits(c)).map_or(0, |p| p + 1);
    let start = lower.ceil_char_boundary(start);
    number(head.get(start..)?)?;
    let before = before.split(digits).next().unwrap_or("");
    Some(Found { kind, before, text: &head[start..], start, end })
}

/// The value behind a label that ends at `at`: where it begins and ends, and where its unit ends.
fn value(lower: &str, at: usize, kind: Kind, by: ReportedBy) -> Option<(usize, usize, usize)> {
    /// What people say in the place of a mark.
    const SPOKEN: [&str; 6] = ["is ", "of ", "at ", "around ", "about ", "now "];
    /// Units and bases that stand with the label.
    const NAMED: [&str; 19] = [
        "_nr", "_lte", "_dbm", "_db", " (dbm)", " (db)", "(dbm)", "(db)", " [dbm]", " [db]",
        "_hex", " (hex)", "_id", " id", " (dl/ul)", " dl/ul", " dl", "_dl", " (dl)",
    ];
    /// A system before its band.
    const SYSTEMS: [&str; 3] = ["e-utra ", "eutra ", "e-utran "];
    let rest = &lower[at..];
    // `Signal strength (RSRP): …`
    let bracket = lower[..at].rfind('(').is_some_and(|open| !lower[open..at].contains(')'));
    let rest = rest.strip_prefix(')').filter(|_| bracket).unwrap_or(rest);
    let named = NAMED.iter().find(|name| {
        rest.strip_prefix(**name).is_some_and(|r| !r.starts_with(|c: char| c.is_alphanumeric()))
    });
    let rest = named.map_or(rest, |name| &rest[name.len()..]);
    let gap = rest.len() - skip(rest).len();
    let rest = skip(rest);
    let rest = SPOKEN.iter().find_map(|word| rest.strip_prefix(word)).unwrap_or(rest);
    let system =
        SYSTEMS.iter().find_map(|word| rest.strip_prefix(word)).filter(|_| kind == Kind::Band);
    let rest = system.unwrap_or(rest);
    let limit = if by == ReportedBy::Host { 40 } else { 5 };
    let start = lower.len() - rest.len();
    // A sign of comparison makes a limit of it.
    let compares = lower[at..start].contains(['<', '>'])
        && !lower[at..start].contains("->")
        && !lower[at..start].contains("=>")
        && !lower[..at].contains('<');
    if gap > limit || compares {
        return None;
    }
    let level = matches!(kind, Kind::Level(..));
    let inside = |c: char| {
        c.is_ascii_alphanumeric() && !level
            || c.is_ascii_digit()
            || matches!(c, '.' | '-' | '+')
            || !level && c == '_'
    };
    let length = rest.find(|c| !inside(c)).unwrap_or(rest.len());
    let text = rest[..length].trim_end_matches(['.', '-']);
    let behind = &rest[text.len()..];
    let end = start + text.len();
    match kind {
        Kind::Level(quantity, unit) => {
            let value = number(text)?;
            let marked = named.is_some_and(|n| n.contains("db"));
            let bare = behind.trim_start_matches(' ');
            let with_unit = bare
                .strip_prefix(unit)
                .filter(|r| !r.starts_with(|c: char| c.is_ascii_alphanumeric()));
            if let Some(after) = with_unit {
                return (!explains(after)).then_some((start, end, lower.len() - after.len()));
            }
            // Without its unit a number is an index as often, unless it can be a level only.
            let only_a_level = match quantity {
                Quantity::Sinr => value < 0.0 || text.contains('.') || value <= 40.0,
                _ => value < 0.0,
            };
            let plain = !behind.starts_with(|c: char| c.is_ascii_alphanumeric() || c == '%')
                && !bare.starts_with('%')
                && !bare.starts_with("db");
            (by == ReportedBy::Host && plain && (only_a_level || marked) && !explains(behind))
                .then_some((start, end, end))
        }
        Kind::SignalQuality => {
            let most = behind.trim_start().strip_prefix('/').unwrap_or("");
            let of = most.trim_start().starts_with("31");
            let plain = of || !behind.trim_start().starts_with(['%', '/']) && !explains(behind);
            (by == ReportedBy::Host && plain && text.bytes().all(|b| b.is_ascii_digit()))
                .then_some((start, end, end))
        }
        // A list is what is supported or allowed, not what is in use.
        _ => {
            let list = behind.trim_start().strip_prefix([',', '/', '&']).is_some_and(|more| {
                more.trim_start()
                    .trim_start_matches(['b', 'n'])
                    .starts_with(|c: char| c.is_ascii_digit())
            }) && kind == Kind::Band;
            let fits = text.bytes().any(|b| b.is_ascii_digit());
            (by == ReportedBy::Host && fits && !list && in_use(lower, kind))
                .then_some((start, end, end))
        }
    }
}

/// The marks between a label and its value.
fn skip(rest: &str) -> &str {
    let marks = [' ', '\t', ':', '=', '>', '"', '\'', '|', '(', '[', '/'];
    let rest = rest.trim_start_matches(marks);
    // `lac/tac: -/9C41`: the first of two is blank.
    let rest = rest.strip_prefix("-/").unwrap_or(rest);
    // A row of dots leads to the value of a page.
    let dots = rest.len() - rest.trim_start_matches('.').len();
    if dots >= 2 { rest[dots..].trim_start_matches(marks) } else { rest }
}

/// Whether a line can speak of the cell in use: not of a list of what there is or may be.
fn in_use(lower: &str, kind: Kind) -> bool {
    kind != Kind::Band || !words_of(List::SeveralBands).iter().any(|word| lower.contains(word))
}

/// What makes an explanation of a number: `-90 dBm to -105 dBm`, `-110 dBm or less`, `-80 dBm and better`.
fn explains(behind: &str) -> bool {
    const EXPLAINS: [&str; 15] = [
        "to ",
        "or ",
        "is ",
        "- ",
        "..",
        "and below",
        "and less",
        "and lower",
        "and worse",
        "and above",
        "and more",
        "and higher",
        "and better",
        "and up",
        "-",
    ];
    let behind = behind.trim_start();
    EXPLAINS.iter().any(|word| behind.starts_with(word)) && !behind.starts_with("-- ")
}

pub(super) fn number(text: &str) -> Option<f64> {
    let signs = text.len() - text.trim_start_matches(['-', '+']).len();
    (signs <= 1).then(|| text.parse().ok()).flatten()
}
