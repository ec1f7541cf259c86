//! Numbers of subscriber, card and device as labels and people print them, in groups.
//!
//! ```text
//! number    := group (separator group)+
//! group     := digit+
//! separator := one blank, dash, slash or dot
//! ```
//!
//! A row of levels or a time stamp is written so, too. So the groups count where a label names the number before
//! them, or where their sum of digits, their beginning and a check digit or a usual form of printing say so:
//!
//! | number | digits | without a label |
//! | --- | --- | --- |
//! | IMEI, IMEISV (TS 23.003 §6.2) | 14 to 16 | a usual form; one that is checked where there are 15 |
//! | IMSI (TS 23.003 §2.2) | 10 to 15 | network code apart from the rest |
//! | ICCID (ITU-T E.118) | 18 to 20 | begins 89; groups of four and more, or checked |
//! | EID (ITU-T E.118 as its numbering) | 32 | begins 89; groups of four and more, or checked by ISO/IEC 7064, 97-10 |
//!
//! The forms of printing and the first two digits of a type of device are common practice, no source.

use super::found::{Secret, SecretKind};
use super::numbers::KEPT;
use crate::identity::{is_checked, remainder_of_97};
use std::ops::{Range, RangeInclusive};

/// What a label calls a number, and how many digits it may have; a person names fewer of an IMSI at times.
const LABELS: &[(&str, RangeInclusive<usize>)] = &[
    ("imei", 14..=16),
    ("imsi", 10..=15),
    ("supi", 10..=15),
    ("ccid", 17..=20),
    ("eid", 32..=32),
    ("sim number", 17..=20),
    ("sim no", 17..=20),
    ("sim serial", 17..=20),
    ("sim card number", 17..=20),
    ("card number", 17..=20),
    ("serial", 14..=20),
    ("sn", 14..=20),
];

/// So many bytes stand between a label and its number at most.
const REACH: usize = 40;

/// The fewest and the most digits of a number, which are the most groups, too.
const FEWEST: usize = 10;
const MOST: usize = 32;

/// Finds the numbers in groups of one line.
pub(super) fn find(line: &str, found: &mut Vec<Secret>) {
    let bytes = line.as_bytes();
    let mut at = 0;
    while let Some(skipped) = bytes[at..].iter().position(u8::is_ascii_digit) {
        at += skipped;
        let groups = chain(line, at);
        let end = groups.last().map_or(at + 1, |g| g.end);
        let digits: usize = groups.iter().map(Range::len).sum();
        if groups.len() > 1 && digits >= FEWEST {
            in_chain(line, &groups, found);
        }
        at = end;
    }
}

/// The groups of digits from a place on that one separator each keeps apart.
fn chain(line: &str, mut at: usize) -> Vec<Range<usize>> {
    let mut groups = Vec::new();
    loop {
        let length = line[at..].bytes().take_while(u8::is_ascii_digit).count();
        if length == 0 {
            return groups;
        }
        groups.push(at..at + length);
        at += length;
        let Some(sign) = line[at..].chars().next().filter(|c| is_separator(*c)) else {
            return groups;
        };
        at += sign.len_utf8();
    }
}

/// Blank, dash, slash or dot, also as word processors write them.
fn is_separator(c: char) -> bool {
    matches!(
        c,
        ' ' | '-' | '/' | '.' | '\u{a0}' | '\u{202f}' | '\u{2010}' | '\u{2011}' | '\u{2013}'
    )
}

fn in_chain(line: &str, groups: &[Range<usize>], found: &mut Vec<Secret>) {
    let allowed = label(line, groups[0].start);
    let mut from = 0;
    while from + 1 < groups.len() {
        // Another number in between has the label to itself.
        let allowed = allowed.as_ref().filter(|_| from == 0);
        if allowed.is_none() && !may_begin(&line[groups[from].clone()]) {
            from += 1;
            continue;
        }
        let most = groups.len().min(from + MOST);
        let to = (from + 2..=most).rev().find(|to| {
            let taken = &groups[from..*to];
            ends_there(line, groups[to - 1].end) && is_number(line, taken, from == 0, allowed)
        });
        let Some(to) = to else {
            from += 1;
            continue;
        };
        let range = groups[from].start..groups[to - 1].end;
        let seen = line[range.clone()].char_indices().filter(|(_, c)| c.is_ascii_digit()).nth(KEPT);
        let keep = seen.map_or(range.len(), |(at, _)| at);
        found.push(Secret { range, kind: SecretKind::Number, keep });
        from = to;
    }
}

/// Whether a number may end there: no word, no fraction and no time goes on.
fn ends_there(line: &str, end: usize) -> bool {
    let mut behind = line[end..].chars();
    let next = behind.next();
    let goes_on =
        matches!(next, Some(':' | '.' | ',')) && behind.next().is_some_and(char::is_numeric);
    !goes_on && !next.is_some_and(char::is_alphanumeric)
}

/// Whether a number without a label may begin there: behind no letter and no sign, and inside a chain at a blank.
fn begins_there(line: &str, start: usize, first: bool) -> bool {
    let mut before = line[..start].chars().rev();
    match before.next() {
        Some('-' | '+') if first => before.next().is_some_and(char::is_alphabetic),
        Some(c) => first && !c.is_alphanumeric() || c.is_whitespace(),
        None => true,
    }
}

fn is_number(
    line: &str,
    groups: &[Range<usize>],
    first: bool,
    allowed: Option<&RangeInclusive<usize>>,
) -> bool {
    let count: usize = groups.iter().map(Range::len).sum();
    // What stands behind a number that is whole is another one.
    let whole = groups[0].len();
    if allowed.is_some_and(|allowed| allowed.contains(&count) && !allowed.contains(&whole)) {
        return true;
    }
    if !matches!(count, 14..=16 | 18..=20 | 32) {
        return false;
    }
    let sizes: Vec<usize> = groups.iter().map(Range::len).collect();
    let digits: String = groups.iter().map(|g| &line[g.clone()]).collect();
    let mut separators = groups.windows(2).map(|pair| &line[pair[0].end..pair[1].start]);
    let separator = separators.next();
    separators.all(|other| Some(other) == separator)
        && begins_there(line, groups[0].start, first)
        && is_printed(&digits, &sizes)
}

/// Whether a first group may begin a number without a label: a row of values mostly has none.
fn may_begin(group: &str) -> bool {
    group.starts_with("89")
        || group.get(..2).is_some_and(is_device)
        || group.len() == 3 && is_country(group)
}

/// Whether digits in groups of these sizes are printed as a number is.
fn is_printed(digits: &str, sizes: &[usize]) -> bool {
    let (last, others) = sizes.split_last().unwrap_or((&0, &[]));
    let each = others.first().copied().unwrap_or(0);
    let even = others.iter().all(|n| *n == each) && *last <= each;
    let of_a_card = digits.starts_with("89");
    match (digits.len(), sizes) {
        (14..=15, [3, 2, 9..=10] | [3, 3, 8..=9]) => is_country(&digits[..3]),
        (14..=16, _) => {
            let usual = matches!(
                sizes,
                [2, 6, 6]
                    | [2, 6, 6, 1..=2]
                    | [6, 2, 6]
                    | [6, 2, 6, 1..=2]
                    | [8, 6]
                    | [8, 6, 1..=2]
            );
            let even = digits.len() == 15 && even && each >= 4 && is_checked(digits);
            is_device(&digits[..2]) && (usual || even)
        }
        (18..=20, _) => of_a_card && (even && each >= 4 || is_checked(digits)),
        (32, _) => of_a_card && (even && each >= 4 || remainder_of_97(digits) == 1),
        _ => false,
    }
}

/// Whether three digits may be the code of a country, of a test network or of one that spans countries (ITU-T E.212).
fn is_country(code: &str) -> bool {
    code == "001" || code.starts_with(|c| matches!(c, '2'..='7' | '9'))
}

/// Whether a type of device begins so: the bodies that give them out, and test devices (TS 23.003 §6.2).
fn is_device(code: &str) -> bool {
    matches!(
        code,
        "00" | "01" | "10" | "30" | "33" | "35" | "44" | "45" | "49" | "50" | "51" | "52"
    ) || matches!(code, "53" | "54" | "86" | "91" | "98" | "99")
}

/// How many digits the number has that the words before a place announce.
fn label(line: &str, at: usize) -> Option<RangeInclusive<usize>> {
    let from = line.floor_char_boundary(at.saturating_sub(REACH));
    let before = line[from..at].to_lowercase();
    // The first or second of two may have its number behind the label: `IMEI1:`, `ICCID 2 =`.
    let before =
        before.trim_end_matches(|c: char| !c.is_alphanumeric()).trim_end_matches(['1', '2']);
    let before = before.rsplit(|c: char| c.is_ascii_digit()).next().unwrap_or("");
    let place = |name: &str| {
        let ends = |at: usize| !before[at + name.len()..].starts_with(char::is_alphanumeric);
        // The short ones are words of their own; others are parts of words such as `IMEISV` and `ICCID`.
        let begins = |at: usize| !before[..at].ends_with(char::is_alphanumeric);
        let whole = |at: usize| name.len() > 3 || ends(at) && begins(at);
        before.rmatch_indices(name).map(|(at, _)| at).find(|at| whole(*at))
    };
    let named = LABELS.iter().filter_map(|(name, allowed)| Some((place(name)?, allowed)));
    named.max_by_key(|(at, _)| *at).map(|(_, allowed)| allowed.clone())
}

#[cfg(test)]
mod tests {
    use crate::identity::secret::mask;

    #[test]
    fn numbers_in_groups_are_hidden() {
        for (text, hidden) in [
            ("IMEI: 00 440115 202000 8", "IMEI: 00 440xxx xxxxxx x"),
            ("00-440115-202000-8", "00-440xxx-xxxxxx-x"),
            ("004401/15/202000/8", "00440x/xx/xxxxxx/x"),
            ("IMEI 00.440115.202000.9", "IMEI 00.440xxx.xxxxxx.x"),
            (
                "the imei of the unit is 004 401 152 020 008 thanks",
                "the imei of the unit is 004 40x xxx xxx xxx thanks",
            ),
            ("imsi 001 01 4123456789", "imsi 001 01 xxxxxxxxxx"),
            ("001-01-4123456789", "001-01-xxxxxxxxxx"),
            ("ICCID 89 88 01 23 45 67 89 01 23 45", "ICCID 89 88 0x xx xx xx xx xx xx xx"),
            ("8988 0123 4567 8901 2345", "8988 0xxx xxxx xxxx xxxx"),
            (
                "SIM-Kartennummer: 8988-0123-4567-8901-234",
                "SIM-Kartennummer: 8988-0xxx-xxxx-xxxx-xxx",
            ),
            (
                "EID: 89049032 12345123 45123456 78901235",
                "EID: 89049xxx xxxxxxxx xxxxxxxx xxxxxxxx",
            ),
            ("89049032123451234512345678901235", "89049xxxxxxxxxxxxxxxxxxxxxxxxxxx"),
            ("IMEI: 00 440115 202000 8 10:15:02", "IMEI: 00 440xxx xxxxxx x 10:15:02"),
            ("IMEI2 = 00-440115-202000-9", "IMEI2 = 00-440xxx-xxxxxx-x"),
            ("imei 00\u{a0}440115\u{a0}202000\u{a0}7", "imei 00\u{a0}440xxx\u{a0}xxxxxx\u{a0}x"),
        ] {
            assert_eq!(mask(text), hidden, "{text}");
        }
    }

    #[test]
    fn rows_of_levels_times_cells_versions_and_masks_stay() {
        for text in [
            "-98 -11 17 99 100 3 4 5 12 14 18 20",
            "98 11 17 99 100 30 45 52 12 14 18 20",
            "353 490 861 100 200",
            "2026-11-27 10:15:02 2026-11-27 10:15:03",
            "20261127-101502-1 start",
            "20261127101502 start",
            "20261127101502118",
            "2026.11.27 10.15.02",
            "8988 0123 4567",
            "8988.1 8989.2 8990.3 8991.4 8992.5",
            "EARFCN 1850 6300 9435 1300 3350",
            "+CEREG: 2,1,\"0A11\",\"0003A2B1\",7",
            "cell id 68719476735 tac 65534",
            "Revision: 07.01.00.440115-202000",
            "IMEI: unknown, 17 99 21 33 45",
            "imsi 001 01",
            "EID: none, 12 of 20 slots",
            "netmask 255.255.255.0 255.255.255.255",
        ] {
            assert_eq!(mask(text), text);
        }
    }
}
