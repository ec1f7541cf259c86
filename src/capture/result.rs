//! Final results: `OK`, `ERROR` and `+CME ERROR` with their text, `NO CARRIER`, `CONNECT`.

use super::body::body_end;
use super::ends::skip_blanks;
use super::item::{Item, Kind};

/// `+CME ERROR: 10`, and the ways in which people write it.
pub(super) fn error_result(line: &str, at: usize, name_end: usize) -> Option<Item> {
    let word_at = skip_blanks(line, name_end);
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
