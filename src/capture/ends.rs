//! Names in a line, and where a command ends.

/// The length of a name of letters, digits, `_` and `-` at the start, at most 26 bytes.
pub(super) fn name_len(rest: &str) -> usize {
    let len = rest
        .bytes()
        .take(26)
        .take_while(|b| b.is_ascii_alphanumeric() || matches!(b, b'_' | b'-'))
        .count();
    if rest.as_bytes().first().is_some_and(u8::is_ascii_alphanumeric) { len } else { 0 }
}

/// The place of the next byte from `at` on that is no blank.
pub(super) fn skip_blanks(line: &str, at: usize) -> usize {
    at + line[at..].bytes().take_while(|&b| b == b' ' || b == b'\t').count()
}

/// The values of a command without a result that lost the line end before it: `=1,1ERROR`, `=1OK`.
fn without_result(text: &str) -> &str {
    let value = ["ERROR", "OK"].iter().find_map(|result| text.strip_suffix(result));
    value.filter(|v| v.ends_with(|c: char| c.is_ascii_digit() || c == '"')).unwrap_or(text)
}

/// The end of a command that surely reaches to `from`.
pub(super) fn command_end(line: &str, start: usize, from: usize) -> usize {
    let bytes = line.as_bytes();
    let opened =
        start.checked_sub(1).map(|i| bytes[i]).filter(|b| matches!(b, b'`' | b'\'' | b'"'));
    let mut in_quotes = false;
    let mut at = from;
    while at < bytes.len() {
        match bytes[at] {
            b if Some(b) == opened && b != b'"' => break,
            b'"' if opened == Some(b'"') && !in_quotes && !matches!(bytes[at - 1], b',' | b'=') => {
                break;
            }
            b'"' => in_quotes = !in_quotes,
            b'`' => break,
            // A question ends with its mark, unless another command is joined to it.
            b'?' if !in_quotes && bytes.get(at + 1) != Some(&b';') => {
                at += 1;
                break;
            }
            b'[' if !in_quotes => break,
            // An error that lost the line end before it.
            b'+' if !in_quotes && ["+CME", "+CMS"].iter().any(|e| line[at..].starts_with(e)) => {
                break;
            }
            b' ' | b'\t' if !in_quotes => {
                // `=1, "IP"` and `= 1` go on; anything else is a new word.
                let next = skip_blanks(line, at);
                let follows = bytes
                    .get(next)
                    .is_some_and(|b| b.is_ascii_digit() || matches!(b, b'"' | b'=' | b','));
                let joined = matches!(bytes[at - 1], b',' | b'=') || bytes.get(next) == Some(&b'=');
                if !(follows && joined) {
                    break;
                }
                at = next;
                continue;
            }
            b if b >= 0x80 && !in_quotes => break,
            _ => {}
        }
        at += 1;
    }
    let text = line[from..at].trim_end_matches(['.', ',', ';', ':', ')', '\'']);
    let text = if in_quotes { text } else { without_result(text) };
    // In a sentence, a comma directly behind the command ends it.
    from + text.len()
}
