//! Lines that were cut apart: wrapped at a column, or split over fragments of a framed log.

use super::item;
use super::normal::{Builder, Normal, upon};
use super::{prefix, stamp};

/// The text with cut lines put together again; the same where nothing was cut.
pub(super) fn fold(normal: Normal<'_>) -> Normal<'_> {
    upon(normal, folded)
}

fn folded(text: &str) -> Option<Normal<'static>> {
    let lines: Vec<&str> = lines(text).collect();
    let width = wrap_width(&lines)?;
    // Most texts have no line that goes on in the next one.
    let goes_on = |pair: &[&str]| is_wide(pair[0], width) && continues(pair[0], pair[1]);
    if !lines.windows(2).any(goes_on) {
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
        if body.chars().count() == width && continues(&whole, following) {
            builder.copy(from, from + body.len());
            joined = true;
        } else {
            builder.copy(from, from + piece.len());
        }
        from += piece.len();
    }
    joined.then(|| builder.finish())
}

/// The lines without their ends.
fn lines(text: &str) -> impl Iterator<Item = &str> {
    let bytes = text.as_bytes();
    let ends = memchr::memchr_iter(b'\n', bytes).chain([bytes.len()]);
    ends.scan(0, |from, end| {
        let line = &text[*from..end];
        *from = end + 1;
        Some(line.strip_suffix('\r').unwrap_or(line))
    })
}

/// The column at which lines seem to be wrapped: the longest line, where it is a window's width.
fn wrap_width(lines: &[&str]) -> Option<usize> {
    let mut longest = 0;
    for line in lines {
        // A line has no more characters than bytes.
        if line.len() > longest {
            longest = longest.max(line.chars().count());
        }
    }
    (20..=240).contains(&longest).then_some(longest)
}

/// Whether a line has so many characters.
fn is_wide(line: &str, width: usize) -> bool {
    line.len() >= width && line.chars().count() == width
}

/// Whether `next` looks like the rest of `line`, not like a line of its own.
fn continues(line: &str, next: &str) -> bool {
    let mut found = Vec::new();
    item::find(next, &mut found);
    if !found.is_empty() || next.trim().is_empty() {
        return false;
    }
    // A line with a time before it is one of its own.
    if stamp::find(&next[..prefix::length(next)]).is_some() {
        return false;
    }
    item::find(line, &mut found);
    let Some(last) = found.last() else { return false };
    // Only dialogue is put together, and only with what can be data.
    let reaches_end = last.end + 2 >= line.len();
    let open = line.bytes().filter(|&b| b == b'"').count() % 2 == 1;
    let data = next.bytes().take(12).all(|b| {
        b.is_ascii_hexdigit()
            || matches!(b, b',' | b'"' | b'.' | b'-' | b':' | b'(' | b')' | b'?' | b'=')
    });
    reaches_end && matches!(last.kind, item::Kind::Headed | item::Kind::Command) && (open || data)
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
