//! What stands in one line: commands, replies with a header, final results.
//!
//! A paste mixes dialogue with people's words, so nothing is taken from the start of a line only:
//! items are found wherever they stand, and one that stands among words is marked as told.

use super::command::{command, mention};
use super::ends::{body_end, name_len, skip_blanks};
use super::result::{error_result, result};
use super::starts::{boundary, may_begin, may_start, next_start};
use super::{direct, prefix};

/// What an item is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// A command; the text is what follows `AT` (empty for `AT` alone).
    Command,
    /// A reply with a header; `head` is the header, the text what follows the colon.
    Headed,
    /// `OK`.
    Ok,
    /// `ERROR`, or `+CME ERROR` and `+CMS ERROR` with their text.
    Error,
    /// `NO CARRIER`, `BUSY`, `NO DIALTONE`, `NO ANSWER`.
    NoCarrier,
    /// `CONNECT`.
    Connect,
}

/// One item of a line; ranges count from the start of the line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Item {
    /// What it is.
    pub kind: Kind,
    /// Where it begins.
    pub start: usize,
    /// Where it ends.
    pub end: usize,
    /// The end of the header (with its sign), for a headed reply; `start` otherwise.
    pub head_end: usize,
    /// Where the text begins.
    pub text_at: usize,
    /// Whether it stands among a person's words.
    pub told: bool,
}

/// Headers of the standard that are taken without their sign, in small letters, or with `=`.
const STANDARD: &[&str] = &[
    "CREG",
    "CGREG",
    "CEREG",
    "C5GREG",
    "CSQ",
    "CESQ",
    "CPIN",
    "COPS",
    "CFUN",
    "CGATT",
    "CGACT",
    "CGDCONT",
    "CGPADDR",
    "CGCONTRDP",
    "CIMI",
    "CCID",
    "ICCID",
    "CGSN",
    "CEER",
    "CEMODE",
    "CGAUTH",
];

fn is_standard(name: &str) -> bool {
    STANDARD.iter().any(|s| name.eq_ignore_ascii_case(s))
}

/// Finds the items of `line` and appends them to `found`; gives the length of a logger's marks
/// before them.
pub(super) fn find(line: &str, found: &mut Vec<Item>) -> usize {
    let payload = prefix::length(line);
    if let Some(item) = behind_marks(line, payload) {
        found.push(item);
    } else if !is_script(&line[payload..]) {
        search(line, payload, found);
    }
    payload
}

/// The one item of a line that holds nothing else but a logger's marks, known at a glance.
fn behind_marks(line: &str, payload: usize) -> Option<Item> {
    let marks = &line.as_bytes()[..payload];
    // Marks could hold an item themselves, or open a quote that the item's end would close.
    let speaks = marks.iter().enumerate().any(|(at, b)| {
        matches!(b, b'+' | b'^' | b'%' | b'#' | b'!' | b'$' | b'*')
            || matches!(b, b'A' | b'a') && matches!(marks.get(at + 1), Some(b'T' | b't'))
    });
    let quotes = matches!(marks.last(), Some(b'"' | b'\'' | b'`'));
    if speaks || quotes || !boundary(line.as_bytes(), payload.min(line.len().saturating_sub(1))) {
        return None;
    }
    let glance = direct::glance(&line.as_bytes()[payload..])?;
    (payload + glance.end() == line.len()).then(|| glance.item(payload))
}

/// Searches a line from end to end; `payload` is where it begins behind a logger's marks.
pub(super) fn search(line: &str, payload: usize, found: &mut Vec<Item>) {
    let first = found.len();
    let bytes = line.as_bytes();
    let begins = may_begin(bytes);
    let mut from = 0;
    loop {
        let after_item = found.len() > first;
        let next = if begins || after_item {
            next_start(bytes, from, payload, after_item)
        } else {
            Some(payload).filter(|at| (from..bytes.len()).contains(at))
        };
        let Some(at) = next else { break };
        from = at + 1;
        if !may_start(bytes, at, at == payload, after_item) || !boundary(bytes, at) {
            continue;
        }
        let item = headed(line, at)
            .or_else(|| command(line, at, payload))
            .or_else(|| if at == payload { without_sign(line, at) } else { None })
            .or_else(|| result(line, at, payload, after_item));
        if let Some(item) = item {
            from = item.end.max(from);
            found.push(item);
        }
    }
    mark_told(line, payload, &mut found[first..]);
}

/// What a dialler's script waits for or gives up on is no answer.
fn is_script(payload: &str) -> bool {
    payload.starts_with(['e', 'a', 's'])
        && ["expect (", "abort on (", "abort (", "say ("].iter().any(|s| payload.starts_with(s))
}

fn headed(line: &str, at: usize) -> Option<Item> {
    let bytes = line.as_bytes();
    let sign = bytes[at];
    if !matches!(sign, b'+' | b'^' | b'%' | b'#' | b'!' | b'$' | b'*') {
        return None;
    }
    let len = name_len(&line[at + 1..]);
    // One header has two words.
    let len = if line[at + 1..].starts_with("APP PDP:") { "APP PDP".len() } else { len };
    let name = &line[at + 1..at + 1 + len];
    let letters = name.bytes().filter(u8::is_ascii_alphabetic).count();
    if letters < 2 {
        return None;
    }
    if (name.eq_ignore_ascii_case("CME") || name.eq_ignore_ascii_case("CMS")) && sign == b'+' {
        return error_result(line, at, at + 1 + len);
    }
    // A small-letter word behind `#`, `*`, `!` or `$` is a remark, not a header.
    let shouting = !name.bytes().any(|b| b.is_ascii_lowercase());
    if !shouting && (matches!(sign, b'#' | b'*' | b'!' | b'$')) {
        return None;
    }
    let head_end = at + 1 + len;
    let mut next = skip_blanks(line, head_end);
    match bytes.get(next) {
        Some(b':') if next - head_end <= 1 => {
            next += 1;
            let end = body_end(line, at, next);
            Some(Item {
                kind: Kind::Headed,
                start: at,
                end,
                head_end,
                text_at: skip_blanks(line, next).min(end),
                told: false,
            })
        }
        Some(b'=') if sign == b'+' && is_standard(name) => {
            let text_at = skip_blanks(line, next + 1);
            let end = body_end(line, at, text_at);
            reads_like_reply(name, &line[text_at..end])
                .then_some(Item {
                    kind: Kind::Headed,
                    start: at,
                    end,
                    head_end,
                    text_at,
                    told: false,
                })
                .or_else(|| mention(line, at, head_end))
        }
        Some(b'?' | b'=') => mention(line, at, head_end),
        Some(b'0'..=b'9') if sign == b'+' && is_standard(name) && next > head_end => {
            let end = body_end(line, at, next);
            let digits = line[next..end].trim();
            (digits.contains(',') && digits.bytes().all(|b| b.is_ascii_digit() || b == b','))
                .then_some(Item {
                    kind: Kind::Headed,
                    start: at,
                    end,
                    head_end,
                    text_at: next,
                    told: false,
                })
        }
        _ => None,
    }
}

/// `+CREG=1,1` is no form of setting: it is a reply with the wrong sign.
fn reads_like_reply(name: &str, body: &str) -> bool {
    let digits = |s: &str| !s.is_empty() && s.trim().bytes().all(|b| b.is_ascii_digit());
    let mut parts = body.trim().split(',');
    let first = parts.next().unwrap_or("");
    let second = parts.next();
    if name.to_ascii_uppercase().ends_with("REG") {
        return digits(first) && second.is_some_and(digits);
    }
    if name.eq_ignore_ascii_case("CSQ") {
        return digits(first);
    }
    name.eq_ignore_ascii_case("CPIN")
        && first.trim().bytes().all(|b| b.is_ascii_uppercase() || b == b' ')
        && !first.trim().is_empty()
}

/// A standard header whose sign was lost, at the start of a payload.
fn without_sign(line: &str, at: usize) -> Option<Item> {
    let len = name_len(&line[at..]);
    let name = &line[at..at + len];
    if len == 3 && (name.eq_ignore_ascii_case("CME") || name.eq_ignore_ascii_case("CMS")) {
        return error_result(line, at, at + len);
    }
    if line.as_bytes().get(at + len) != Some(&b':') || !is_standard(name) {
        return None;
    }
    let end = body_end(line, at, at + len + 1);
    let text_at = skip_blanks(line, at + len + 1).min(end);
    Some(Item { kind: Kind::Headed, start: at, end, head_end: at + len, text_at, told: false })
}

/// An item among a sentence's words is told, not logged.
fn mark_told(line: &str, payload: usize, items: &mut [Item]) {
    let Some(first) = items.first() else { return };
    let before = words(&line[payload.min(first.start)..first.start]);
    let last_end = items.last().map_or(0, |i| i.end);
    let after = words(&line[last_end..]);
    let between: usize =
        items.windows(2).map(|p| words(line.get(p[0].end..p[1].start).unwrap_or(""))).sum();
    if before + between + after >= 3 {
        for item in items {
            item.told = true;
        }
    }
}

/// How many words of a sentence stand in a text.
pub fn words(text: &str) -> usize {
    text.split([' ', '\t', ',', '.', '/'])
        .filter(|w| {
            let w = w.trim_matches(['(', ')', '"', '\'', '`', '!', '?', ':', ';', '*']);
            w.chars().count() >= 2 && w.chars().all(|c| c.is_alphabetic() || c == '\'' || c == '-')
        })
        .count()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn seen(line: &str) -> Vec<String> {
        let mut found = Vec::new();
        find(line, &mut found);
        found
            .iter()
            .map(|i| match i.kind {
                Kind::Headed => {
                    format!("{}={}", &line[i.start..i.head_end], &line[i.text_at..i.end])
                }
                Kind::Command => format!("AT{}", line[i.text_at..i.end].trim()),
                Kind::Error => format!("ERROR {}", &line[i.text_at..i.end]),
                other => format!("{other:?}"),
            })
            .collect()
    }

    #[test]
    fn labelled_values_behind_a_number_belong_to_the_reply() {
        let line = "+SQNMONI: 00101 Cc:001 Nc:01 RSRP:-80.20";
        assert_eq!(seen(line), ["+SQNMONI=00101 Cc:001 Nc:01 RSRP:-80.20"]);
        assert_eq!(seen("+CSQ: 17,99 at noon"), ["+CSQ=17,99"]);
    }

    #[test]
    fn plain_dialogue_is_read() {
        assert_eq!(seen("AT+CREG?"), ["AT+CREG?"]);
        assert_eq!(seen("+CREG: 0,1"), ["+CREG=0,1"]);
        assert_eq!(seen("OK"), ["Ok"]);
        assert_eq!(seen("+CME ERROR: SIM not inserted"), ["ERROR SIM not inserted"]);
        assert_eq!(
            seen("AT+CGDCONT=1, \"IP\", \"a.example\""),
            ["AT+CGDCONT=1, \"IP\", \"a.example\""]
        );
    }

    #[test]
    fn flattened_and_run_together_lines_are_cut_apart() {
        assert_eq!(
            seen("AT+CPIN? +CPIN: READY OK AT+CSQ +CSQ: 17,99 OK"),
            ["AT+CPIN?", "+CPIN=READY", "Ok", "AT+CSQ", "+CSQ=17,99", "Ok"]
        );
        assert_eq!(seen("+CREG: 0,1+CGREG: 0,2OK"), ["+CREG=0,1", "+CGREG=0,2", "Ok"]);
        assert_eq!(seen("OKAT#XSOCKET=1"), ["Ok", "AT#XSOCKET=1"]);
    }

    #[test]
    fn an_item_in_a_sentence_is_told() {
        let mut found = Vec::new();
        find("no net here, I only ever see +CGREG: 0,3, a restart did not help", &mut found);
        assert!(found[0].told);
        assert_eq!(seen("it stays at \"%XSIM: 0,9\" for ever")[0], "%XSIM=0,9");
    }

    #[test]
    fn remarks_behind_a_value_do_not_belong_to_it() {
        assert_eq!(seen("+CREG: 0,1 (home)"), ["+CREG=0,1"]);
        assert_eq!(seen("+COPS: 0,0,\"Demo Net\" <- that is mine"), ["+COPS=0,0,\"Demo Net\""]);
        assert_eq!(seen("Returns +COPS: 2."), ["+COPS=2"]);
    }

    #[test]
    fn odd_signs_are_understood() {
        assert_eq!(seen("+CREG=1,1 return OK"), ["+CREG=1,1", "Ok"]);
        assert_eq!(seen("+CME ERROR #10"), ["ERROR 10"]);
        assert_eq!(seen("CSQ: 12,99"), ["CSQ=12,99"]);
        assert_eq!(seen("+GTDUALSIM : 0"), ["+GTDUALSIM=0"]);
        assert_eq!(seen("+APP PDP: 0,DEACTIVE"), ["+APP PDP=0,DEACTIVE"]);
    }

    #[test]
    fn words_of_people_are_no_items() {
        for line in [
            "AT commands do not work",
            "look at that: 1",
            "ERROR: power failed",
            "#define X",
            "that is OK then",
        ] {
            assert!(seen(line).is_empty(), "{line}: {:?}", seen(line));
        }
    }

    proptest! {
        #[test]
        fn behind_marks_the_search_finds_the_same(
            marks in "(12:00:01|\\[1\\]|RX|TX|-|>|<|:|->|<7>|\\(16\\)|AT|\"|b'| ){0,4}",
            line in "(OK|AT|\\+|AT\\+)?[A-Z]{0,6}[0-9]?(: |:|\\?|=|=\\?)?([0-9]{1,3}|\"[a-zA-Z.]{0,6}\"|,|READY){0,5}",
        ) {
            let line = marks + &line;
            let payload = prefix::length(&line);
            if let Some(item) = behind_marks(&line, payload) {
                let mut found = Vec::new();
                search(&line, payload, &mut found);
                prop_assert_eq!(found, vec![item], "{}", line);
            }
        }

        #[test]
        fn ranges_are_in_order_and_fit(line in "\\PC{0,80}|[AT+CREGOKMQ:?=,\"0-9 `'%^]{0,60}") {
            let mut found = Vec::new();
            find(&line, &mut found);
            let mut last = 0;
            for i in found {
                prop_assert!(last <= i.start && i.start <= i.head_end && i.text_at <= i.end.max(i.text_at) && i.end <= line.len());
                prop_assert!(line.get(i.start..i.end).is_some());
                last = i.end;
            }
        }
    }
}
