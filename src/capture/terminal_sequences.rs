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

/// What spells the escape character that introduces a sequence.
const SPELLED: [&str; 8] = ["\\e", "\\x1b", "\\x1B", "\\033", "\\u001b", "\\u001B", "^[", "␛"];

/// Removes sequences whose escape character is spelled out or was lost: `^[[32m`, `[0m`.
pub(super) fn remove_spelled(text: &str, edits: &mut Edits<'_>) {
    // Without its escape character only a colour is known, and only where colours end again.
    let colours = memchr::memmem::find(text.as_bytes(), b"[0m").is_some();
    for at in memchr::memchr_iter(b'[', text.as_bytes()) {
        let body =
            text[at + 1..].bytes().take_while(|b| b.is_ascii_digit() || matches!(b, b';' | b'?'));
        let end = at + 1 + body.count();
        let Some(last) = text.as_bytes().get(end) else { continue };
        let spelled = SPELLED.iter().find(|escape| text[..at].ends_with(**escape));
        let start = match spelled {
            Some(escape) if b"mKJHABCDhl".contains(last) => at - escape.len(),
            None if colours && *last == b'm' && end > at + 1 => at,
            _ => continue,
        };
        edits.remove(start..end + 1);
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
    fn sequences_without_their_escape_character_go_where_they_are_certain() {
        let plain =
            |text| MappedText::original(text).edited(super::remove_spelled).text().to_owned();
        for text in
            ["^[[1;32mOK^[[0m", "\\e[32mOK\\e[m", "\\x1b[KOK", "␛[2JOK", "[1mOK[0m", "[31m[1mOK[0m"]
        {
            assert_eq!(plain(text), "OK", "{text}");
        }
        for text in ["[5m] OK", "[12] OK", "x[1], x[0]"] {
            assert_eq!(plain(text), text);
        }
    }

    #[test]
    fn a_sequence_that_was_cut_takes_nothing_of_the_next_line() {
        assert_eq!(plain("a\x1b[2"), "a");
        assert_eq!(plain("a\x1b[2\nOK"), "a\nOK");
        assert_eq!(plain("a\x1b]0;title\nOK"), "a\nOK");
    }
}
