//! Lines that were cut apart: wrapped at a column, or split over fragments of a framed log.

use super::item::{self, Item, Kind};
use super::normal::{Builder, Normal, upon};
use super::stamp;
use std::ops::RangeInclusive;

/// The text with cut lines put together again; the same where nothing was cut.
pub(super) fn fold(normal: Normal<'_>) -> Normal<'_> {
    upon(normal, folded)
}

/// The widths of windows, in characters: the longest line of a wrapped text fills one.
const WINDOW: RangeInclusive<usize> = 20..=240;

fn folded(normal: &Normal<'_>) -> Option<Normal<'static>> {
    let text = normal.text();
    if !may_be_cut(normal) {
        return None;
    }
    let lines: Vec<&str> = text.split('\n').map(|l| l.strip_suffix('\r').unwrap_or(l)).collect();
    let width = lines.iter().map(|line| line.chars().count()).max().unwrap_or(0);
    let is_wide = |line: &str| line.len() >= width && line.chars().count() == width;
    let goes_on = |pair: &[&str]| is_wide(pair[0]) && continues(pair[0], pair[1]);
    if !WINDOW.contains(&width) || !lines.windows(2).any(goes_on) {
        return None;
    }
    let mut builder = Builder::new(text);
    let mut joined = false;
    let mut from = 0;
    for piece in text.split_inclusive('\n') {
        let body = piece.trim_end_matches(['\n', '\r']);
        let next = &text[from + piece.len()..];
        let following = next.lines().next().unwrap_or("");
        let begun = builder.so_far().rfind('\n').map_or(0, |i| i + 1);
        let whole = format!("{}{body}", &builder.so_far()[begun..]);
        if is_wide(body) && continues(&whole, following) {
            builder.copy(from, from + body.len());
            joined = true;
        } else {
            builder.copy(from, from + piece.len());
        }
        from += piece.len();
    }
    joined.then(|| builder.finish())
}

/// Whether some line can go on in the next one, which is no item. A cheap look before the costly one.
fn may_be_cut(normal: &Normal<'_>) -> bool {
    let text = normal.text();
    let lines = normal.lines();
    normal.unknown().iter().filter(|&&at| at > 0).any(|&at| {
        let (this, next) = (lines[at - 1], lines[at]);
        if next.feeds_since(this, text) != 1 {
            return false;
        }
        // A column is counted from a line feed on: a carriage return alone is no wrap.
        let begun = memchr::memrchr(b'\n', &text.as_bytes()[..this.end]).map_or(0, |feed| feed + 1);
        let line = &text[begun..this.end];
        line.len() >= *WINDOW.start() && may_continue(line, next.of(text))
    })
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
        last.end + 2 >= line.len() && matches!(last.kind, Kind::Headed | Kind::Command)
    })
}

/// The last item of `line`, where `next` holds none and is no line of its own by its time.
pub(super) fn unfinished(line: &str, next: &str) -> Option<Item> {
    let mut found = Vec::new();
    let marks = item::find(next, &mut found);
    if !found.is_empty() || stamp::find(&next[..marks]).is_some() {
        return None;
    }
    item::find(line, &mut found);
    found.pop()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reply_wrapped_at_a_column_is_one_line_again() {
        let whole = "+CGDCONT: 1,\"IP\",\"gauges.river.example\",\"0.0.0.0\",0,0,0,0\nOK\n";
        let wrapped: String = whole
            .lines()
            .flat_map(|l| {
                l.as_bytes().chunks(24).map(|c| format!("{}\n", String::from_utf8_lossy(c)))
            })
            .collect();
        assert_eq!(fold(Normal::same(&wrapped)).text(), whole);
    }

    #[test]
    fn a_long_line_with_a_message_behind_it_stays() {
        let text = "+CGDCONT: 1,\"IP\",\"gauges.example\"\nOK\n";
        assert_eq!(fold(Normal::same(text)).text(), text);
    }

    #[test]
    fn a_line_with_its_own_time_is_no_rest_of_another() {
        let text = "09:11:06.440 -> +CGREG:[16926] < 1 > /+CGREG:\n09:11:06.440 ->  0,0\n";
        assert_eq!(fold(Normal::same(text)).text(), text);
    }
}
