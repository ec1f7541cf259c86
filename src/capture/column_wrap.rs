//! Lines that were cut apart: wrapped at a column, or split over fragments of a framed log.

use super::item::{Item, Kind};
use super::mapped::Edits;
use super::{search, stamp};
use std::ops::RangeInclusive;

/// The widths of windows, in characters: the longest line of a wrapped text fills one.
const WINDOW: RangeInclusive<usize> = 20..=240;

/// Puts lines together that were wrapped at a column.
pub(super) fn join(text: &str, edits: &mut Edits<'_>) {
    let all: Vec<&str> = text.split('\n').map(|l| l.strip_suffix('\r').unwrap_or(l)).collect();
    let width = all.iter().map(|line| line.chars().count()).max().unwrap_or(0);
    let is_wide = |line: &str| line.len() >= width && line.chars().count() == width;
    let goes_on = |pair: &[&str]| is_wide(pair[0]) && continues(pair[0], pair[1]);
    if !WINDOW.contains(&width) || !all.windows(2).any(goes_on) {
        return;
    }
    let mut from = 0;
    for piece in text.split_inclusive('\n') {
        let body = piece.trim_end_matches(['\n', '\r']);
        let end = from + piece.len();
        let following = text[end..].lines().next().unwrap_or("");
        edits.keep(from + body.len());
        if is_wide(body) && continues(edits.last_line(), following) {
            edits.remove(from + body.len()..end);
        } else {
            edits.keep(end);
        }
        from = end;
    }
}

/// Whether `next` holds what can be data, or `line` has a quote that was not closed.
fn may_continue(line: &str, next: &str) -> bool {
    let is_data = |b: u8| {
        b.is_ascii_hexdigit()
            || matches!(b, b',' | b'"' | b'.' | b'-' | b':' | b'(' | b')' | b'?' | b'=')
    };
    let open = || line.bytes().filter(|&b| b == b'"').count() % 2 == 1;
    !next.trim().is_empty() && (next.bytes().take(12).all(is_data) || open())
}

/// Whether `next` looks like the rest of `line`, not like a line of its own.
fn continues(line: &str, next: &str) -> bool {
    // Only dialogue is put together, and only with what can be data.
    if !may_continue(line, next) {
        return false;
    }
    unfinished(line, next).is_some_and(|last| {
        last.end + 2 >= line.len() && matches!(last.kind, Kind::Prefixed | Kind::Command)
    })
}

/// The last item of `line`, where `next` holds none and is no line of its own by its time.
pub(super) fn unfinished(line: &str, next: &str) -> Option<Item> {
    let mut found = Vec::new();
    let marks = search::find(next, &mut found);
    if !found.is_empty() || stamp::find(&next[..marks]).is_some() {
        return None;
    }
    search::find(line, &mut found);
    found.pop()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::mapped::MappedText;

    #[test]
    fn a_reply_wrapped_at_a_column_is_one_line_again() {
        let whole = "+CGDCONT: 1,\"IP\",\"gauges.river.example\",\"0.0.0.0\",0,0,0,0\nOK\n";
        let wrapped: String = whole
            .lines()
            .flat_map(|l| {
                l.as_bytes().chunks(24).map(|c| format!("{}\n", String::from_utf8_lossy(c)))
            })
            .collect();
        assert_eq!(MappedText::original(&wrapped).edited(join).text(), whole);
    }

    #[test]
    fn a_long_line_with_a_message_behind_it_stays() {
        let text = "+CGDCONT: 1,\"IP\",\"gauges.example\"\nOK\n";
        assert_eq!(MappedText::original(text).edited(join).text(), text);
    }

    #[test]
    fn a_line_with_its_own_time_is_no_rest_of_another() {
        let text = "10:02:33.120 -> +CGREG:[4100] < 2 > /+CGREG:\n10:02:33.120 ->  0,0\n";
        assert_eq!(MappedText::original(text).edited(join).text(), text);
    }
}
