//! Where an item of a line ends: a command, and the body of a reply without what stands behind it.

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
            b'[' if !in_quotes => break,
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
    // In a sentence, a comma directly behind the command ends it.
    from + text.len()
}

/// Where the body of a reply ends: at the end of the line, before the next message, or at the
/// quote that was opened before it.
pub(super) fn body_end(line: &str, start: usize, from: usize) -> usize {
    let bytes = line.as_bytes();
    let opened = start.checked_sub(1).map(|i| bytes[i]).filter(|b| matches!(b, b'`' | b'\''));
    let by_quote = start.checked_sub(1).is_some_and(|i| bytes[i] == b'"');
    let mut in_quotes = false;
    let mut at = from;
    while at < bytes.len() {
        let b = bytes[at];
        if Some(b) == opened || b == b'`' {
            break;
        }
        if b == b'"' {
            // A quote that a table's row has doubled (RFC 4180 §2.7), around a word.
            let word = |i: usize| bytes.get(i).is_some_and(u8::is_ascii_alphanumeric);
            let pair = by_quote && bytes.get(at + 1) == Some(&b'"');
            let opens = !in_quotes && matches!(bytes[at - 1], b',' | b' ' | b':') && word(at + 2);
            if pair && (opens || in_quotes && word(at - 1)) {
                in_quotes = !in_quotes;
                at += 2;
                continue;
            }
            if by_quote
                && !in_quotes
                && !matches!(bytes[..at].trim_ascii_end().last(), Some(b',' | b':'))
            {
                break;
            }
            in_quotes = !in_quotes;
        }
        // The end of an element around it.
        if b == b'<' && bytes.get(at + 1) == Some(&b'/') {
            break;
        }
        if !in_quotes && at > from && begins_message(line, at) {
            break;
        }
        at += 1;
    }
    let body = line[from..at].trim_end_matches([' ', '\t', '\'', ';', '|', '>', '•']);
    let body = without_closers(body);
    let body =
        if body.ends_with(']') && !body.contains('[') { &body[..body.len() - 1] } else { body };
    let body = body.trim_end_matches([' ', '\'']);
    // The cause of the last failure is free text (TS 27.007 §8.10): nothing in it is a remark.
    let free = line.get(start + 1..start + 5).is_some_and(|name| name.eq_ignore_ascii_case("CEER"));
    from + if free { body.len() } else { trimmed_remark(body).len() }
}

/// A body without the quote and the brackets that close what was opened before the reply:
/// `0,2"}`.
fn without_closers(body: &str) -> &str {
    let inner = body.trim_end_matches(['}', ']', ')', ',', ';', ' ']);
    let odd = body.bytes().filter(|&b| b == b'"').count() % 2 == 1;
    match inner.strip_suffix('"').filter(|_| odd) {
        Some(inner) => inner.trim_end_matches('\\'),
        None => body,
    }
}

fn begins_message(line: &str, at: usize) -> bool {
    let bytes = line.as_bytes();
    let after_blank = matches!(bytes[at - 1], b' ' | b'\t');
    match bytes[at] {
        b'+' | b'^' | b'%' | b'#' | b'!' | b'$' => {
            let len = name_len(&line[at + 1..]);
            let name = &line[at + 1..at + 1 + len];
            let colon = bytes.get(at + 1 + len) == Some(&b':') || name.eq_ignore_ascii_case("CME");
            let asks = after_blank && matches!(bytes.get(at + 1 + len), Some(b'?' | b'='));
            len >= 2
                && !name.bytes().any(|b| b.is_ascii_lowercase())
                && (colon || asks)
                && bytes[at + 1].is_ascii_alphabetic()
        }
        b'A' => {
            (after_blank || bytes[at - 1].is_ascii_digit())
                && (line[at..].starts_with("AT+")
                    || line[at..].starts_with("AT^")
                    || line[at..].starts_with("AT%"))
        }
        b'O' => {
            (after_blank || bytes[at - 1].is_ascii_digit() || bytes[at - 1] == b'"')
                && line[at..].starts_with("OK")
                && (line[at + 2..].trim_end_matches(['\'', ']', ' ']).is_empty()
                    || line[at + 2..].starts_with("AT")
                    || (after_blank && line[at + 2..].trim_start().starts_with("AT")))
        }
        b'r' => after_blank && line[at..].starts_with("return "),
        _ => false,
    }
}

/// A body without the remark that a person put behind it.
fn trimmed_remark(body: &str) -> &str {
    let mut in_quotes = false;
    let bytes = body.as_bytes();
    let last_comma = bytes
        .iter()
        .enumerate()
        .filter(|&(_, &b)| {
            in_quotes ^= b == b'"';
            b == b',' && !in_quotes
        })
        .last()
        .map_or(0, |(i, _)| i + 1);
    let last = &body[last_comma..];
    let lead = last.len() - last.trim_start().len();
    let word_end = last[lead..].find([' ', '\t', ')', ';', '`']).map_or(last.len(), |i| lead + i);
    let word = last[lead..word_end].trim_end_matches('.');
    let number = !word.is_empty()
        && word.trim_start_matches('-').bytes().all(|b| b.is_ascii_digit() || b == b'.')
        && word.bytes().any(|b| b.is_ascii_digit());
    let quoted_end = last[lead..].strip_prefix('"').and_then(|q| q.find('"')).map(|i| lead + i + 2);
    if let Some(end) = quoted_end {
        return &body[..last_comma + end];
    }
    // A name of digits with labelled values behind it, `20401 Cc:204 …`, is not a number with
    // somebody's words behind it.
    if number && !labelled(&last[word_end..]) {
        &body[..last_comma + lead + word.len()]
    } else {
        body.trim_end_matches(['.', ' '])
    }
}

/// Whether the next word is a label with its value, without a blank between.
fn labelled(text: &str) -> bool {
    let word = text.split_whitespace().next().unwrap_or("");
    word.split_once(':').is_some_and(|(key, value)| {
        key.starts_with(|c: char| c.is_ascii_alphabetic())
            && value.starts_with(|c: char| c.is_ascii_digit() || c == '-')
    })
}
