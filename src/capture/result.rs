//! Final results: `OK`, `ERROR` and `+CME ERROR` with their text, `NO CARRIER`, `CONNECT`.

use super::body::body_end;
use super::ends::skip_blanks;
use super::item::{Item, Kind};

/// `+CME ERROR: 10`, and the ways in which people write it.
pub(super) fn error_result(line: &str, at: usize, name_end: usize) -> Option<Item> {
    let gap = line[name_end..].bytes().take_while(|b| matches!(b, b' ' | b'\t' | b'_' | b'-'));
    let word_at = name_end + gap.count();
    let word = line.get(word_at..word_at + 5)?;
    if !word.eq_ignore_ascii_case("ERROR") {
        return None;
    }
    let mut text_at = skip_blanks(line, word_at + 5);
    while matches!(line.as_bytes().get(text_at), Some(b':' | b'#' | b'=' | b' ')) {
        text_at += 1;
    }
    // A number may have a remark behind it; words are the error's own.
    let words = line[text_at..].starts_with(|c: char| c.is_alphabetic());
    let end = body_end(line, at, text_at, words);
    Some(Item { prefix_end: name_end, ..Item::new(Kind::Error, at..end, text_at) })
}

/// A final result that stands alone in its payload, or behind another item.
pub(super) fn result(line: &str, at: usize, payload: usize, after_item: bool) -> Option<Item> {
    if at != payload && !after_item {
        return None;
    }
    let rest = &line[at..];
    let upper = |word: &str| rest.get(..word.len()).is_some_and(|r| r.eq_ignore_ascii_case(word));
    let item = |kind, len: usize| Item::new(kind, at..at + len, at + len);
    let ends = |len: usize| {
        let after = rest[len..].trim_end_matches([
            '\'', '"', ']', ')', '}', ',', ' ', '\t', '`', '.', '*', '|', '_', '\\',
        ]);
        after.is_empty() || after.trim_start().starts_with("AT")
    };
    for (word, kind) in [
        ("NO CARRIER", Kind::NoCarrier),
        ("NO DIALTONE", Kind::NoCarrier),
        ("NO ANSWER", Kind::NoCarrier),
        ("BUSY", Kind::NoCarrier),
    ] {
        if upper(word) && (ends(word.len()) || rest[word.len()..].starts_with('!')) {
            return Some(item(kind, word.len()));
        }
    }
    if rest.starts_with("OK") && (ends(2) || rest[2..].starts_with('+')) {
        return Some(item(Kind::Ok, 2));
    }
    if rest == "ok" {
        return Some(item(Kind::Ok, 2));
    }
    if upper("ERROR") && ends(5) {
        return Some(item(Kind::Error, 5));
    }
    if rest.starts_with("CONNECT")
        && (ends(7) || rest[7..].trim_start().bytes().all(|b| b.is_ascii_digit()))
    {
        return Some(item(Kind::Connect, rest.len()));
    }
    None
}

/// The final results that a quote, a bracket or a label may stand around.
const WORDS: [(&str, Kind); 7] = [
    ("NO CARRIER", Kind::NoCarrier),
    ("NO DIALTONE", Kind::NoCarrier),
    ("NO ANSWER", Kind::NoCarrier),
    ("BUSY", Kind::NoCarrier),
    ("CONNECT", Kind::Connect),
    ("ERROR", Kind::Error),
    ("OK", Kind::Ok),
];

/// What loggers call what came from the modem.
const RECEIVED: [&str; 23] = [
    "rx", "recv", "rcvd", "received", "receive", "resp", "rsp", "response", "reply", "answer",
    "read", "in", "got", "data", "line", "msg", "message", "text", "raw", "modem", "returned",
    "returns", "reads",
];

/// A final result alone in a quote, a bracket, or behind a label: `RX -> "ERROR"`, `u'OK'`, `{"rx":"OK"}`, `rsp=OK`.
pub(super) fn dressed_result(line: &str) -> Option<Item> {
    let shown = trim_line_end(line);
    let bare = shown.trim_end_matches(['\'', '"', '`', ')', ']', '}', '>']);
    let bare = trim_line_end(bare);
    let (word, kind) = WORDS.iter().find(|(word, _)| bare.ends_with(word))?;
    let start = bare.len() - word.len();
    let head = line[..start].trim_end_matches(' ');
    let closers = &line[bare.len()..shown.len()];
    let head = head.strip_suffix("\\r\\n").unwrap_or(head);
    let item = || Item::new(*kind, start..start + word.len(), start + word.len());
    if head.strip_suffix('<').is_some_and(|tag| closers.is_empty() && is_tag(tag)) {
        return Some(item());
    }
    let head = match head.chars().last() {
        Some(opener) if "'\"`([{<".contains(opener) => {
            let close = match opener {
                '(' => ')',
                '[' => ']',
                '{' => '}',
                '<' => '>',
                quote => quote,
            };
            let head = head[..head.len() - opener.len_utf8()].trim_end();
            let coded = head
                .strip_suffix(['b', 'u'])
                .filter(|head| !head.ends_with(|c: char| c.is_alphanumeric()));
            // A line end that was spelled out within a byte string has taken the quote along.
            if !closers.contains(close) && (coded.is_none() || !closers.is_empty()) {
                return None;
            }
            coded.unwrap_or(head)
        }
        _ if head.is_empty() => return None,
        _ => head,
    };
    is_received(head).then(item)
}

/// Whether what stands before the mark of a direction, `cell< OK`, is a logger's tag of one word.
fn is_tag(head: &str) -> bool {
    let tag = head.split_whitespace().next_back().unwrap_or_default();
    let sign = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.' | '/' | ':');
    (1..=20).contains(&tag.len()) && tag.chars().all(sign) && super::sentence::words(head) <= 2
}

/// A line without blanks and spelled-out line ends behind it.
fn trim_line_end(line: &str) -> &str {
    let mut line = line.trim_end();
    while let Some(cut) = ["\\r", "\\n", ",", ";"].iter().find_map(|end| line.strip_suffix(end)) {
        line = cut.trim_end();
    }
    line
}

/// Whether what stands before a result is a logger's mark alone, or one that says that it was received.
fn is_received(head: &str) -> bool {
    const FAR: usize = 96;
    if head.len() > FAR || super::sentence::words(head) > 4 {
        return false;
    }
    let head =
        head.trim_end_matches([' ', ':', '=', '>', '<', '-', '"', '\'', '(', '[', '|', ']', ')']);
    let from = head.rfind(|c: char| !(c.is_alphanumeric() || c == '_')).map_or(0, |at| at + 1);
    let from = head.ceil_char_boundary(from);
    let word = head[from..].to_ascii_lowercase();
    !head.contains(|c: char| c.is_alphabetic()) || RECEIVED.contains(&&*word)
}
