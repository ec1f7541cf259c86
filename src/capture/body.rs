//! Where the body of a response ends: what terminals, frames and people put behind it is no part of it.
//!
//! A body ends at the end of its line, at the quote or bracket that closes what was opened before
//! it, at a comment, a cell's edge, an arrow, a time, the next message, or a remark. Where that is
//! not certain it is left as it is, so that its reader can refuse it.

use super::ends::name_len;
use super::stamp;

/// Where the body ends that begins at `from`, of a message that begins at `start`; `is_free` where it
/// may be free text, so that words do not end it.
pub(super) fn body_end(line: &str, start: usize, from: usize, is_free: bool) -> usize {
    let scan = Scan { line, from, opener: Opener::before(line, start), is_free };
    let body = scan.dressed();
    let body = without_closers(trim(body, scan.opener));
    from + if is_free { body.len() } else { without_remark(body).len() }
}

/// What stands directly before a message and is closed behind it.
#[derive(Clone, Copy)]
struct Opener<'l> {
    byte: Option<u8>,
    before: &'l str,
}

impl<'l> Opener<'l> {
    fn before(line: &'l str, start: usize) -> Self {
        let before = &line[..start];
        Self { byte: before.bytes().last(), before }
    }

    /// Whether a byte closes what was opened; the straight quote, which bodies hold too, apart.
    fn closes(self, b: u8) -> bool {
        b == b'`' || b == b'\'' && self.byte == Some(b'\'')
    }

    /// Whether an emphasis mark opens it: `**+CREG: 0,1**`.
    fn emphasis(self) -> Option<char> {
        self.before.chars().last().filter(|c| matches!(c, '*' | '_' | '~' | '='))
    }
}

struct Scan<'l> {
    line: &'l str,
    from: usize,
    opener: Opener<'l>,
    is_free: bool,
}

impl<'l> Scan<'l> {
    /// The body up to the first thing that certainly ends it.
    fn dressed(&self) -> &'l str {
        let bytes = self.line.as_bytes();
        let by_quote = self.opener.byte == Some(b'"');
        let mut in_quotes = false;
        let mut open = Vec::new();
        let mut at = self.from;
        while let Some(&b) = bytes.get(at) {
            if self.opener.closes(b) || b == b'<' && bytes.get(at + 1) == Some(&b'/') {
                break;
            }
            if b == b'"' {
                match self.quote(at, in_quotes, by_quote) {
                    Quote::Ends => break,
                    Quote::Toggles(len) => {
                        in_quotes = !in_quotes;
                        at += len;
                    }
                }
                continue;
            }
            if !in_quotes && self.line.is_char_boundary(at) {
                match b {
                    b'(' | b'[' | b'{' => open.push(b),
                    b')' | b']' | b'}' if open.pop().is_none() => break,
                    _ if at > self.from && (self.breaks(at) || begins_message(self.line, at)) => {
                        break;
                    }
                    _ => {}
                }
            }
            at += 1;
        }
        &self.line[self.from..at]
    }

    /// What a quote does.
    fn quote(&self, at: usize, in_quotes: bool, by_quote: bool) -> Quote {
        let bytes = self.line.as_bytes();
        // A quote that a table's row has doubled (RFC 4180 §2.7), around a word.
        let word = |i: usize| bytes.get(i).is_some_and(u8::is_ascii_alphanumeric);
        let pair = by_quote && bytes.get(at + 1) == Some(&b'"');
        let opens = !in_quotes && matches!(bytes[at - 1], b',' | b' ' | b':') && word(at + 2);
        if pair && (opens || in_quotes && word(at - 1)) {
            return Quote::Toggles(2);
        }
        let value = matches!(bytes[..at].trim_ascii_end().last(), Some(b',' | b':'));
        if by_quote && !in_quotes && !value { Quote::Ends } else { Quote::Toggles(1) }
    }

    /// Whether a comment, a cell's edge, an arrow, a time or a spelled-out line end begins here.
    fn breaks(&self, at: usize) -> bool {
        let rest = &self.line[at..];
        let before = self.line.as_bytes()[at - 1];
        let blank = matches!(before, b' ' | b'\t');
        let begins = |signs: &[&str]| signs.iter().any(|sign| rest.starts_with(sign));
        let words = |from: usize| {
            rest[from..].trim_start().starts_with(|c: char| c.is_alphabetic() || c == '(')
        };
        match rest.as_bytes()[0] {
            b'/' => begins(&["//", "/*"]) && before != b':',
            b'|' => true,
            b'#' | b';' | b'-' if self.is_free => false,
            b'#' => blank && begins(&["# ", "##"]) && words(1),
            b';' => words(1) && (blank || begins(&["; "])),
            b'-' if begins(&["- "]) => {
                blank
                    && words(1)
                    && self.line[..at].trim_end().ends_with(|c: char| c.is_ascii_digit())
            }
            b'-' => blank && begins(&["-- ", "--- ", "->", "-->"]),
            b'<' => blank && begins(&["<-", "<=", "<<", "< "]),
            b'=' => blank && begins(&["=>", "==>"]),
            b'.' => before != b'.' && self.dots_end(rest),
            b'0'..=b'9' | b'[' => blank && self.time_follows(at),
            0x80.. => rest.starts_with(['→', '←', '⇒', '⇐', '▶', '◀', '•', '│', '┃', '║']),
            _ => false,
        }
    }

    /// Whether dots stand for a line end here, as in the text column of a dump.
    fn dots_end(&self, rest: &str) -> bool {
        let behind = rest.trim_start_matches('.');
        let count = rest.len() - behind.len();
        let ends = behind.trim_start().trim_start_matches(['|', '"', '\'', '`']).is_empty();
        let message = ["OK", "ERROR", "AT", "+", "NO CARRIER"];
        // Three are an ellipsis, unless dots stand for the line end before it too.
        let pairs = matches!(count, 2 | 4) || self.opener.before.ends_with("..");
        count > 1 && (ends && pairs || message.iter().any(|m| behind.starts_with(m)))
    }

    /// Whether the time of the next line of a log stands here, and no time in the body.
    fn time_follows(&self, at: usize) -> bool {
        let rest = self.line[at..].trim_start_matches('[');
        let is_value = |part: &str| !part.contains(['/', ':']) && !part.contains("20");
        stamp::begins(rest) && is_value(&self.line[self.from..at])
    }
}

/// What a quote in a body does.
enum Quote {
    Ends,
    Toggles(usize),
}

/// A body without the blanks and signs that close a string, an emphasis or a line behind it.
fn trim<'b>(body: &'b str, opener: Opener<'_>) -> &'b str {
    let body = body.trim_end_matches([' ', '\t', '\'', ';', '|', '>', '•', '\\']);
    let body = match opener.emphasis() {
        Some(mark) => body.trim_end_matches(mark).trim_end(),
        None => body,
    };
    let digit = |body: &str| body.ends_with(|c: char| c.is_ascii_digit() || c == '"');
    match body.strip_suffix(['.', '!']) {
        Some(shorter) if digit(shorter) => shorter,
        _ => body,
    }
}

/// A body without the quote and the brackets that close what was opened before the message:
/// `0,2"}`.
fn without_closers(body: &str) -> &str {
    let inner = body.trim_end_matches(['}', ']', ')', ',', ';', ' ']);
    let odd = body.bytes().filter(|&b| b == b'"').count() % 2 == 1;
    match inner.strip_suffix('"').filter(|_| odd) {
        Some(inner) => inner.trim_end_matches('\\'),
        None => body,
    }
}

/// Whether another message begins at `at`: a response, a command, a result.
fn begins_message(line: &str, at: usize) -> bool {
    let bytes = line.as_bytes();
    let rest = &line[at..];
    let before = bytes[at - 1];
    let blank = matches!(before, b' ' | b'\t');
    // A value is complete behind these.
    let complete = blank || before.is_ascii_digit() || matches!(before, b'"' | b')' | b'.' | b',');
    let alone = |len: usize| {
        !rest[len..].starts_with(|c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '-'))
            || rest[len..].starts_with("AT")
    };
    match bytes[at] {
        b'+' | b'^' | b'%' | b'#' | b'!' | b'$' => {
            let len = name_len(&line[at + 1..]);
            let name = &line[at + 1..at + 1 + len];
            let colon = bytes.get(at + 1 + len) == Some(&b':') || name.eq_ignore_ascii_case("CME");
            let asks = blank && matches!(bytes.get(at + 1 + len), Some(b'?' | b'='));
            len >= 2
                && !name.bytes().any(|b| b.is_ascii_lowercase())
                && (colon || asks)
                && bytes[at + 1].is_ascii_alphabetic()
        }
        b'A' => {
            (blank || before.is_ascii_digit())
                && ["AT+", "AT^", "AT%"].iter().any(|sign| rest.starts_with(sign))
        }
        b'O' => {
            let ready = ["READY", "SIM PIN", "SIM PUK"].iter().any(|s| line[..at].ends_with(s));
            (complete || ready) && rest.starts_with("OK") && alone(2)
        }
        b'E' => complete && before != b',' && rest.starts_with("ERROR") && alone(5),
        b'N' => complete && rest.starts_with("NO CARRIER") && alone(10),
        b'r' => blank && rest.starts_with("return "),
        _ => false,
    }
}

/// A body without the remark that a person put behind it.
fn without_remark(body: &str) -> &str {
    let body = &body[..words_at(body).unwrap_or(body.len())];
    let last_comma = last_comma(body);
    let last = &body[last_comma..];
    let lead = last.len() - last.trim_start().len();
    let word_end = last[lead..].find([' ', '\t', ')', ';', '`']).map_or(last.len(), |i| lead + i);
    let word = &last[lead..word_end];
    // One dot ends a sentence; more say that something was left out.
    let word = word.strip_suffix('.').filter(|w| !w.ends_with('.')).unwrap_or(word);
    let number = !word.ends_with("..")
        && !word.is_empty()
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
        let body = body.trim_end();
        body.strip_suffix('.').filter(|b| !b.ends_with('.')).unwrap_or(body)
    }
}

/// The place behind the last comma that is in no quotes.
fn last_comma(body: &str) -> usize {
    let mut in_quotes = false;
    let commas = body.bytes().enumerate().filter(|&(_, b)| {
        in_quotes ^= b == b'"';
        b == b',' && !in_quotes
    });
    commas.last().map_or(0, |(at, _)| at + 1)
}

/// Where words begin behind a complete value: `0,1 it says`, `READY (at last)`.
fn words_at(body: &str) -> Option<usize> {
    let bytes = body.as_bytes();
    let mut in_quotes = false;
    bytes.iter().enumerate().find_map(|(at, &b)| {
        in_quotes ^= b == b'"';
        if in_quotes || at == 0 || b != b' ' {
            return None;
        }
        let value = &body[..at];
        let rest = body[at..].trim_start();
        let word =
            rest.find(|c: char| !(c.is_ascii_alphabetic() || c == '\'')).unwrap_or(rest.len());
        let behind = &rest[word..];
        // A unit, a label or a name goes on with the value.
        let small = word >= 2
            && rest[..word].bytes().all(|b| b.is_ascii_lowercase() || b == b'\'')
            && !["dbm", "db", "mv", "ms", "mhz", "khz", "degrees"].contains(&&rest[..word])
            && (behind.is_empty() || behind.starts_with([' ', ',', '.', '!', '?', ')']));
        let number = bytes[at - 1].is_ascii_digit() && !value.contains([' ', ':']);
        let state = ["READY", "SIM PIN", "SIM PUK", "NOT READY", "NOT INSERTED"].contains(&value);
        (number && small || state && (small || rest.starts_with(['(', ':', ';']))).then_some(at)
    })
}

/// Whether the next word is a label with its value, without a blank between.
fn labelled(text: &str) -> bool {
    let word = text.split_whitespace().next().unwrap_or("");
    word.split_once(':').is_some_and(|(key, value)| {
        key.starts_with(|c: char| c.is_ascii_alphabetic())
            && value.starts_with(|c: char| c.is_ascii_digit() || c == '-')
    })
}
