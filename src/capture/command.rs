//! Commands: sent with their `AT`, or named without it.

use super::ends::{command_end, name_len, skip_blanks};
use super::item::{Item, Kind};

/// A command named without its `AT`, as people do in sentences.
pub(super) fn mention(line: &str, at: usize, prefix_end: usize) -> Option<Item> {
    let end = command_end(line, at, prefix_end);
    (end > prefix_end).then(|| Item { in_sentence: true, ..Item::new(Kind::Command, at..end, at) })
}

/// A command with its `AT`; `payload` is where the line begins behind a logger's marks.
pub(super) fn command(line: &str, at: usize, payload: usize) -> Option<Item> {
    let bytes = line.as_bytes();
    if !bytes[at..].get(..2)?.eq_ignore_ascii_case(b"AT") {
        return None;
    }
    let text_at = at + 2;
    let item = |end: usize| Item::new(Kind::Command, at..end, text_at);
    match bytes.get(text_at) {
        None => Some(item(text_at)),
        Some(b'+' | b'^' | b'%' | b'#' | b'!' | b'$' | b'*' | b'&' | b'@') => {
            let body = name_len(line.get(text_at + 1..)?);
            (body > 0).then(|| item(command_end(line, at, text_at + 1 + body)))
        }
        Some(b' ' | b'\t' | b'`' | b'\'' | b'"' | b'.')
            if bytes[at] == b'A' && bytes[at + 1] == b'T' =>
        {
            // `AT` alone: at the end of a line, or with another message behind it.
            let next = skip_blanks(line, text_at);
            let rest = &line[next..];
            let alone = rest.trim_matches(['`', '\'', '"', '.', ' ']).is_empty()
                || (at == payload
                    && ["OK", "ERROR", "AT", "+"].iter().any(|s| rest.starts_with(s)));
            // `AT +CREG?`
            if at == payload && rest.starts_with('+') && name_len(&rest[1..]) > 1 {
                let end = command_end(line, at, next + 1 + name_len(&rest[1..]));
                if !line[next..end].contains(':') {
                    return Some(Item { text_at: next, ..item(end) });
                }
            }
            alone.then(|| item(text_at))
        }
        Some(letter) if bytes[at] == b'A' || at == payload => {
            let upper = letter.to_ascii_uppercase();
            let after = bytes.get(text_at + 1).copied().unwrap_or(b' ');
            let fits = match upper {
                b'D' => after.is_ascii_digit() || matches!(after, b'*' | b'T' | b'P' | b'"'),
                b'E' | b'H' | b'I' | b'O' | b'Q' | b'V' | b'X' | b'Z' | b'S' | b'A' | b'L'
                | b'M' | b'W' => !after.is_ascii_alphabetic(),
                _ => false,
            };
            fits.then(|| item(command_end(line, at, text_at + 1)))
        }
        _ => None,
    }
}
