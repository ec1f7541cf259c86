//! The search for commands, responses and results in one line.
//!
//! A paste mixes dialogue with people's words, so nothing is taken from the start of a line only:
//! items are found wherever they stand, and those that stand among words are marked.

use super::body::body_end;
use super::command::{command, mention};
use super::ends::{name_len, skip_blanks};
use super::item::{Item, Kind};
use super::result::{dressed_result, error_result, result};
use super::sentence::words;
use super::starts::{boundary, may_start};
use super::{bare, log_marks, pair};

/// Prefixes of the standard that are taken without their sign, in small letters, or with `=`.
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
    let payload = log_marks::length(line);
    if !is_script(&line[payload..]) {
        let first = found.len();
        search(line, payload, found);
        if found.len() == first {
            found.extend(dressed_result(line));
        }
    }
    payload
}

/// Searches a line from end to end; `payload` is where it begins behind a logger's marks.
fn search(line: &str, payload: usize, found: &mut Vec<Item>) {
    let first = found.len();
    let bytes = line.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        let after_item = found.len() > first;
        let item = if may_start(bytes, at, at == payload, after_item) && boundary(bytes, at) {
            prefixed(line, at)
                .or_else(|| command(line, at, payload))
                .or_else(|| if at == payload { without_sign(line, at) } else { None })
                .or_else(|| result(line, at, payload, after_item))
                .or_else(|| bare::response(line, at))
        } else {
            bare::response(line, at)
        };
        let beside =
            item.filter(|i| i.kind == Kind::Command).and_then(|i| pair::response(line, &i));
        at = beside.or(item).map_or(at + 1, |item| item.end.max(at + 1));
        found.extend(item);
        found.extend(beside);
    }
    mark_sentence(line, payload, &mut found[first..]);
    settle_pairs(found, first);
}

/// A command named with its response beside it was sent, and in a sentence the two are words.
fn settle_pairs(found: &mut Vec<Item>, first: usize) {
    for at in (first + 1..found.len()).rev().filter(|&at| at > first) {
        if found[at].prefix_start >= found[at].start {
            continue;
        }
        if found[at].in_sentence {
            found.remove(at);
        } else {
            found[at - 1].in_sentence = false;
        }
    }
}

/// What a dialler's script waits for or gives up on is no answer.
fn is_script(payload: &str) -> bool {
    payload.starts_with(['e', 'a', 's'])
        && ["expect (", "abort on (", "abort (", "say ("].iter().any(|s| payload.starts_with(s))
}

fn prefixed(line: &str, at: usize) -> Option<Item> {
    let bytes = line.as_bytes();
    let sign = bytes[at];
    if !matches!(sign, b'+' | b'^' | b'%' | b'#' | b'!' | b'$' | b'*') {
        return None;
    }
    let len = name_len(&line[at + 1..]);
    // One prefix has two words.
    let len = if line[at + 1..].starts_with("APP PDP:") { "APP PDP".len() } else { len };
    let name = &line[at + 1..at + 1 + len];
    let letters = name.bytes().filter(u8::is_ascii_alphabetic).count();
    if letters < 2 {
        return None;
    }
    let list = |n: &&str| n.eq_ignore_ascii_case("CME") || n.eq_ignore_ascii_case("CMS");
    if sign == b'+'
        && name.get(..3).filter(list).is_some_and(|n| n.len() == len || glued(&name[3..]))
    {
        return error_result(line, at, at + 1 + 3);
    }
    // A small-letter word behind `#`, `*`, `!` or `$` is a remark, not a prefix.
    let shouting = !name.bytes().any(|b| b.is_ascii_lowercase());
    if !shouting && (matches!(sign, b'#' | b'*' | b'!' | b'$')) {
        return None;
    }
    let prefix_end = at + 1 + len;
    let mut next = skip_blanks(line, prefix_end);
    match bytes.get(next) {
        Some(b':') if next - prefix_end <= 1 => {
            next += 1;
            // The cause of the last failure is free text (TS 27.007 §8.10): nothing in it is a remark.
            let end = body_end(line, at, next, name.eq_ignore_ascii_case("CEER"));
            Some(Item {
                prefix_end,
                ..Item::new(Kind::Prefixed, at..end, skip_blanks(line, next).min(end))
            })
        }
        Some(b'=') if sign == b'+' && is_standard(name) => {
            let text_at = skip_blanks(line, next + 1);
            let end = body_end(line, at, text_at, false);
            reads_like_reply(name, &line[text_at..end])
                .then(|| Item { prefix_end, ..Item::new(Kind::Prefixed, at..end, text_at) })
                .or_else(|| mention(line, at, prefix_end))
        }
        Some(b'?' | b'=') => mention(line, at, prefix_end),
        Some(b'0'..=b'9') if sign == b'+' && is_standard(name) && next > prefix_end => {
            let end = body_end(line, at, next, false);
            let digits = line[next..end].trim();
            (digits.contains(',') && digits.bytes().all(|b| b.is_ascii_digit() || b == b','))
                .then_some(Item { prefix_end, ..Item::new(Kind::Prefixed, at..end, next) })
        }
        _ => None,
    }
}

/// Whether the word `ERROR` stands directly behind the name of its list, or with a dash between.
fn glued(behind: &str) -> bool {
    behind.trim_start_matches(['_', '-']).eq_ignore_ascii_case("ERROR")
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

/// A standard prefix whose sign was lost, at the start of a payload.
fn without_sign(line: &str, at: usize) -> Option<Item> {
    let len = name_len(&line[at..]);
    let name = &line[at..at + len];
    if len == 3 && (name.eq_ignore_ascii_case("CME") || name.eq_ignore_ascii_case("CMS")) {
        return error_result(line, at, at + len);
    }
    if line.as_bytes().get(at + len) != Some(&b':') || !is_standard(name) {
        return None;
    }
    let end = body_end(line, at, at + len + 1, false);
    let text_at = skip_blanks(line, at + len + 1).min(end);
    Some(Item { prefix_end: at + len, ..Item::new(Kind::Prefixed, at..end, text_at) })
}

/// Marks the items of a line that is a sentence.
fn mark_sentence(line: &str, payload: usize, items: &mut [Item]) {
    let Some(first) = items.first() else { return };
    let before = words(&line[payload.min(first.start)..first.start]);
    let last_end = items.last().map_or(0, |i| i.end);
    let after = words(&line[last_end..]);
    let between: usize =
        items.windows(2).map(|p| words(line.get(p[0].end..p[1].start).unwrap_or(""))).sum();
    if before + between + after >= 3 {
        for item in items {
            item.in_sentence = true;
        }
    }
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
                Kind::Prefixed => {
                    format!("{}={}", &line[i.start..i.prefix_end], &line[i.text_at..i.end])
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
    fn an_item_in_a_sentence_is_marked() {
        let mut found = Vec::new();
        find("no net here, I only ever see +CGREG: 0,3, a restart did not help", &mut found);
        assert!(found[0].in_sentence);
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
        fn ranges_are_in_order_and_fit(line in "\\PC{0,80}|[AT+CREGOKMQ:?=,\"0-9 `'%^]{0,60}") {
            let mut found = Vec::new();
            find(&line, &mut found);
            let mut last = 0;
            for i in found {
                prop_assert!(last <= i.start && i.start <= i.prefix_end && i.text_at <= i.end.max(i.text_at) && i.end <= line.len());
                prop_assert!(line.get(i.start..i.end).is_some());
                last = i.end;
            }
        }
    }
}
