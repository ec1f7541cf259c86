//! Control sequences of terminals (ECMA-48), left in by a program that recorded a terminal's screen:
//! colours, cursor moves, titles. They go, together with control characters that print nothing.

use super::mapped::Edits;

/// Removes sequences and control characters.
pub(super) fn remove(text: &str, edits: &mut Edits<'_>) {
    let mut from = 0;
    while let Some(found) = text.as_bytes()[from..].iter().position(|&b| is_control(b)) {
        let start = from + found;
        // A sequence that its line ends was cut there.
        let end =
            memchr::memchr(b'\n', &text.as_bytes()[start..]).map_or(text.len(), |n| start + n);
        let line = &text[start..end];
        let printed = anstream::adapter::strip_str(line)
            .next()
            .map_or(end, |piece| start + (piece.as_ptr() as usize - line.as_ptr() as usize));
        // What prints nothing and is no sequence is one byte.
        from = printed.max(start + 1);
        edits.remove(start..from);
    }
}

/// Whether a byte is a control character that no plain text holds.
fn is_control(b: u8) -> bool {
    b == 0x7f || b < 0x20 && !matches!(b, b'\t' | b'\n' | b'\r')
}

#[cfg(test)]
mod tests {
    use crate::capture::mapped::MappedText;

    fn plain(text: &str) -> String {
        MappedText::original(text).edited(super::remove).text().to_owned()
    }

    #[test]
    fn sequences_leave_no_trace() {
        assert_eq!(plain("\x1b[1;32mOK\x1b[0m\x1b]0;title\x07!"), "OK!");
        assert_eq!(plain("\x1b(BOK\x1b[K\0\r\n"), "OK\r\n");
        assert_eq!(plain("\x08\x07OK\x7f"), "OK");
    }

    #[test]
    fn a_sequence_that_was_cut_takes_nothing_of_the_next_line() {
        assert_eq!(plain("a\x1b[2"), "a");
        assert_eq!(plain("a\x1b[2\nOK"), "a\nOK");
        assert_eq!(plain("a\x1b]0;title\nOK"), "a\nOK");
    }
}
