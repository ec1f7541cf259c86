//! Keys with their values, in whatever layout a page, a log or a program puts them.
//!
//! ```text
//! SIM status: absent        "simState" = "ABSENT"        attach state: 02 - attached
//! | Registration | Denied |         Hardware radio state      : Off        the SIM is not inserted
//! ```

/// A key and its value, by their places in the line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Pair<'t> {
    /// The key, without quotes and marks around it.
    pub(super) key: &'t str,
    /// The value, without quotes and the number before its word.
    pub(super) value: &'t str,
    /// Where the key begins and the value ends in the line.
    pub(super) start: usize,
    pub(super) end: usize,
}

/// A key has no more words than these.
const MOST_WORDS: usize = 6;
/// A value is no longer than this, in bytes.
const LONGEST: usize = 64;

/// What stands around keys and values.
const AROUND: [char; 12] = [' ', '\t', '"', '\'', '`', '{', '}', '[', ']', '*', '<', '>'];

/// Every pair of a line.
pub(super) fn pairs(line: &str) -> Vec<Pair<'_>> {
    let cells: Vec<&str> = line.split('|').filter(|cell| !cell.trim().is_empty()).collect();
    if line.contains('|') && cells.len() == 2 && !cells[0].contains([':', '=']) {
        return pair(line, cells[0], cells[1]).into_iter().collect();
    }
    if let Some((key, rest)) = leader(line) {
        let value = rest.split([',', ';', '(']).next().unwrap_or(rest);
        return pair(line, key, value).into_iter().collect();
    }
    let mut found = Vec::new();
    for segment in segments(line) {
        found.extend(of_segment(line, segment));
    }
    // `SIM Status: Not inserted, please check`: the first of them has the whole rest as well.
    found
}

/// `Registered ........ yes`: a row of dots leads from a key to its value.
fn leader(line: &str) -> Option<(&str, &str)> {
    let at = line.find("...")?;
    let rest = line[at..].trim_start_matches('.');
    (line.len() - at - rest.len() >= 4 || line[..at].ends_with(' ') && rest.starts_with(' '))
        .then_some((&line[..at], rest))
}

/// The parts of a line between commas, semicolons and bars that stand outside of brackets.
fn segments(line: &str) -> impl Iterator<Item = &str> {
    let mut depth = 0usize;
    line.split(move |c: char| {
        match c {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            _ => {}
        }
        depth == 0 && matches!(c, ',' | ';' | '|')
    })
}

/// Whether a line is one key with one short value.
pub(super) fn is_one_pair(line: &str) -> bool {
    if leader(line).is_some() {
        return true;
    }
    let mark = line.find([':', '=']).or_else(|| columns(line).map(|(at, _)| at));
    mark.is_some_and(|at| {
        let key = line[..at].trim_matches(AROUND);
        // A remark in brackets is no part of the value.
        let value = line[at + 1..].split(" (").next().unwrap_or("").trim_matches(AROUND);
        !key.is_empty()
            && key.split_ascii_whitespace().count() <= MOST_WORDS
            && value
                .split_ascii_whitespace()
                .filter(|word| word.bytes().any(|b| b.is_ascii_alphabetic()))
                .count()
                <= MOST_WORDS
    })
}

/// What stands between a key and its value.
const MARKS: [&str; 9] =
    [" -> ", " => ", " \u{2192} ", " changed to ", " is now ", ": ", " : ", "=", ":"];

/// The pairs of a segment: each mark with what stands before it, up to the mark before.
fn of_segment<'t>(line: &'t str, segment: &'t str) -> Vec<Pair<'t>> {
    let mut found = Vec::new();
    let mut from = 0;
    while let Some((at, length)) = next_mark(segment, from) {
        found.extend(pair(line, &segment[from..at], &segment[at + length..]));
        from = at + length;
    }
    if found.is_empty() {
        let columns = columns(segment);
        found
            .extend(columns.and_then(|(at, len)| pair(line, &segment[..at], &segment[at + len..])));
    }
    // What stands behind the last mark may be a clause of its own.
    found.extend(predicate(line, &segment[from..]));
    found
}

/// The first mark at or behind a place, the longest of those that begin there.
fn next_mark(segment: &str, from: usize) -> Option<(usize, usize)> {
    let bytes = segment.as_bytes();
    let begins = |at: &usize| matches!(bytes[*at], b' ' | b':' | b'=');
    (from..bytes.len()).filter(begins).find_map(|at| {
        let here = MARKS.iter().filter(|mark| bytes[at..].starts_with(mark.as_bytes()));
        here.map(|mark| (at, mark.len())).max_by_key(|(_, length)| *length)
    })
}

/// Two columns parted by blanks or a tab: where the gap begins and its length.
fn columns(text: &str) -> Option<(usize, usize)> {
    let body = text.trim_end();
    let from = body.len() - body.trim_start().len();
    let gap = body[from..].find("  ").or_else(|| body[from..].find('\t')).map(|at| from + at)?;
    let rest = body[gap..].trim_start();
    Some((gap, body.len() - gap - rest.len()))
}

/// `the SIM is not inserted`: what a short clause says of its subject.
fn predicate<'t>(line: &'t str, segment: &'t str) -> Option<Pair<'t>> {
    let at = segment.find(" is ")?;
    let key = segment[..at].rsplit(['.', '(', ':']).next()?;
    let value = segment[at + " is ".len()..].split(['.', '(', '!', '?']).next()?;
    (value.split_ascii_whitespace().count() <= 4).then(|| pair(line, key, value)).flatten()
}

fn pair<'t>(line: &'t str, key: &'t str, value: &'t str) -> Option<Pair<'t>> {
    // `state changed (searching -> denied)`: what it changed from is no part of the key.
    let key = key.split_once(" changed").map_or(key, |(key, _)| key);
    // A logger's marks stand before the key.
    let key = key
        .rsplit([']', '>', ')'])
        .next()
        .unwrap_or(key)
        .trim_matches(AROUND)
        .trim_end_matches(':');
    let key = key.trim_matches(AROUND);
    let value = quoted(value).unwrap_or(value);
    let value = value.trim_matches(AROUND).trim_end_matches(['.', ',']).trim_matches(AROUND);
    // A remark in brackets behind a long value.
    let value = match value.split_once(" (") {
        Some((short, _)) if value.len() > LONGEST => short,
        _ => value,
    };
    // A bracket that closes around the whole change.
    let value = if value.contains('(') { value } else { value.trim_end_matches(')') };
    let value = numbered(value);
    let words = key.split([' ', '_', '-', '.']).filter(|w| !w.is_empty()).count();
    let fits = key.contains(|c: char| c.is_ascii_alphabetic())
        && (1..=MOST_WORDS).contains(&words)
        && !value.is_empty()
        && value.len() <= LONGEST;
    fits.then(|| Pair {
        key,
        value,
        start: key.as_ptr() as usize - line.as_ptr() as usize,
        end: value.as_ptr() as usize - line.as_ptr() as usize + value.len(),
    })
}

/// `'registered' PS: 'attached'`: a value in quotes ends with them.
fn quoted(value: &str) -> Option<&str> {
    let value = value.trim_start();
    let quote = value.chars().next().filter(|c| matches!(c, '"' | '\''))?;
    let (inside, _) = value[1..].split_once(quote)?;
    Some(inside).filter(|inside| !inside.is_empty())
}

/// `0002 - attached`: the word behind its number.
fn numbered(value: &str) -> &str {
    let digits = value.bytes().take_while(u8::is_ascii_digit).count();
    let rest = value[digits..].trim_start();
    match rest.strip_prefix('-').map(str::trim_start) {
        Some(word) if digits > 0 && word.starts_with(|c: char| c.is_ascii_alphabetic()) => word,
        _ => value,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(line: &str) -> Vec<(&str, &str)> {
        pairs(line).iter().map(|p| (p.key, p.value)).collect()
    }

    #[test]
    fn pairs_are_found_in_every_layout() {
        assert_eq!(read("SIM status: absent"), [("SIM status", "absent")]);
        assert_eq!(read("  Card state: 'present'"), [("Card state", "present")]);
        assert_eq!(read("attach state: 02 - attached"), [("attach state", "attached")]);
        assert_eq!(read("Hardware radio state      : Off"), [("Hardware radio state", "Off")]);
        assert_eq!(read("| Registration | Denied |"), [("Registration", "Denied")]);
        assert_eq!(read("Registration Status    Denied"), [("Registration Status", "Denied")]);
        assert_eq!(read("{\"simState\":\"ABSENT\",\"x\":1}"), [("simState", "ABSENT"), ("x", "1")]);
        assert_eq!(
            read("wwan0: Soft blocked: no, Hard blocked: yes"),
            [("wwan0", "Soft blocked: no"), ("Soft blocked", "no"), ("Hard blocked", "yes")]
        );
    }

    #[test]
    fn a_change_is_the_value_that_it_leads_to() {
        assert_eq!(
            read("modem: registration state changed (searching -> denied)")[1],
            ("registration state", "denied")
        );
        assert_eq!(read("SIM state changed to ABSENT"), [("SIM state", "ABSENT")]);
    }

    #[test]
    fn a_clause_says_something_of_its_subject() {
        assert_eq!(
            read("sim0: GSM is registered(0,1)"),
            [("sim0", "GSM is registered(0,1)"), ("GSM", "registered")]
        );
        assert_eq!(read("the SIM is not inserted."), [("the SIM", "not inserted")]);
    }
}
