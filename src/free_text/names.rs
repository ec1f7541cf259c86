//! Access point names that a program or a person means to use.

use super::scope::has;
use crate::case::{Cell, Fact, Facts, Quantity, ReportedBy};
use crate::reference::word_lists::{List, words_of};
use crate::span::Span;

/// Reads a line; `lower` is it in small letters, `base` where it begins.
pub(super) fn read(line: &str, lower: &str, by: ReportedBy, base: usize, facts: &mut Facts) {
    if lower.contains("apn") {
        intended_name(line, lower, base, facts);
    }
    if by == ReportedBy::Person {
        name_of_a_network(line, lower, base, facts);
    }
    if by == ReportedBy::Host {
        access_point(line, lower, base, facts);
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
            matches!(c, '[' | ']' | ')' | '_' | ' ' | '*') || c.is_ascii_digit()
        });
        let marks = ["=", ":", "\"", "is ", "to ", "should be ", "must be ", "has to be "];
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
            && (quoted || matches!(mark, "=" | "\"") || name.contains('.'))
            && !["none", "null", "nil", "true", "false", "char", "self"]
                .iter()
                .any(|w| name.eq_ignore_ascii_case(w));
        if plausible {
            let start = base + (name.as_ptr() as usize - line.as_ptr() as usize);
            facts.push(Fact::IntendedName(name.to_owned()), Span::new(start, start + name.len()));
        }
    }
}

/// `apn=gauge.example`, `dnn: gauge.example`, `Access point   gauge.example`: the name that a page or a record shows as the
/// one that is set.
fn access_point(line: &str, lower: &str, base: usize, facts: &mut Facts) {
    let places: Vec<(usize, usize)> = words_of(List::AccessPointLabel)
        .iter()
        .flat_map(|label| lower.match_indices(label).map(|(at, found)| (at, at + found.len())))
        .filter(|(at, _)| !lower[..*at].ends_with(|c: char| c.is_ascii_alphanumeric()))
        .collect();
    let Some((_, end)) =
        places.iter().copied().max_by_key(|(at, end)| (std::cmp::Reverse(*at), *end))
    else {
        return;
    };
    if words_of(List::AccessPointWanted).iter().any(|word| lower.contains(word)) {
        return;
    }
    let rest = &line[end..];
    let value = rest.trim_start_matches([' ', '\t', ':', '=', '"', '\'', '|', '.']);
    let from = line.len() - value.len();
    let name = value
        .split(|c: char| !(c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_')))
        .next()
        .unwrap_or("")
        .trim_end_matches('.');
    let behind = &value[name.len()..];
    let marked = line[..from].ends_with(['"', '\'', '=']) || behind.trim().is_empty();
    let plausible = name.len() >= 2
        && from > end
        && name.bytes().any(|b| b.is_ascii_alphabetic())
        && !words_of(List::AccessPointNone).contains(&&*name.to_ascii_lowercase())
        && (marked || !behind.trim_start().starts_with(char::is_alphabetic));
    if plausible {
        let span = Span::new(base + from, base + from + name.len());
        facts.push(Fact::word(Quantity::Apn, name.into(), Cell::Serving), span);
    }
}

/// `the operator needs gauge.example`, `the card is another seller's, the script says "weir"`: a name with a dot behind
/// what a network or a contract wants, or one in quotes that a program holds, where the sentence is about the card.
fn name_of_a_network(line: &str, lower: &str, base: usize, facts: &mut Facts) {
    if lower.trim_end().ends_with('?') || lower.contains(" not ") || lower.contains("n't ") {
        return;
    }
    let words: Vec<&str> = line.split_whitespace().collect();
    for triple in words.windows(3) {
        let is = |word: &str, list| words_of(list).contains(&&*word.to_ascii_lowercase());
        let program = is(triple[0], List::NameHolder)
            && triple[2].starts_with(['`', '"', '\''])
            && has(lower, words_of(List::CardOwner));
        if !(program || is(triple[0], List::NameWanter)) || !is(triple[1], List::NetworkWants) {
            continue;
        }
        let name = triple[2].trim_matches(['`', '"', '\'', '.', ',', ';', '!', '(', ')']);
        let labels: Vec<&str> = name.split('.').collect();
        let label =
            |l: &&str| !l.is_empty() && l.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-');
        if (labels.len() >= 2 || program && name.len() > 2)
            && labels.iter().all(label)
            && labels.iter().any(|l| l.bytes().any(|b| b.is_ascii_alphabetic()))
        {
            let start = base + (name.as_ptr() as usize - line.as_ptr() as usize);
            facts.push(Fact::IntendedName(name.to_owned()), Span::new(start, start + name.len()));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(line: &str) -> Vec<String> {
        let mut facts = Facts::default();
        read(line, &line.to_ascii_lowercase(), ReportedBy::Person, 0, &mut facts);
        let named = |f| if let Fact::IntendedName(n) = f { Some(n) } else { None };
        facts.drain().filter_map(|(f, _)| named(f)).collect()
    }

    #[test]
    fn the_name_that_is_meant_is_read_where_it_is_marked() {
        assert_eq!(names("const char apn[] = \"gauge.example\";"), ["gauge.example"]);
        assert_eq!(names("the APN is gauge.example. It worked"), ["gauge.example"]);
        assert_eq!(names("--apn=gauge --pin=none"), ["gauge"]);
        assert_eq!(names("APN: unknown to me"), [] as [String; 0]);
        assert_eq!(names("snapns = 5, apn = None"), [] as [String; 0]);
    }

    #[test]
    fn a_network_wants_a_name() {
        assert_eq!(names("The operator needs gauge.example. That is there."), ["gauge.example"]);
        assert_eq!(names("our contract says \"m2m.gauge.example\""), ["m2m.gauge.example"]);
        assert_eq!(
            names("Letter: \"access point (APN): m2m.gauge.example\""),
            ["m2m.gauge.example"]
        );
        for line in [
            "does the operator need gauge.example?",
            "the operator needs time",
            "the network uses 3.5 GHz",
            "the operator does not use gauge.example",
        ] {
            assert!(names(line).is_empty(), "{line}");
        }
    }

    #[test]
    fn a_name_that_a_program_holds_is_meant_where_the_sentence_is_about_the_card() {
        assert_eq!(names("the card is another seller's, the sketch says `weir`"), ["weir"]);
        for other in ["the sketch says `weir`", "my card is old and the program says nothing"] {
            assert!(names(other).is_empty(), "{other}");
        }
    }
}
