//! What loggers, mail and chat put before a line: times, counters, tags, arrows, quote marks.

/// How many bytes at the start of `line` belong to a logger, a quote or a list, not to the modem.
///
/// What remains may be empty. A number that stands alone is never taken away: it may be an IMSI.
pub(super) fn length(line: &str) -> usize {
    let mut at = 0;
    // Each turn takes one mark; a line with more marks than this is no log line.
    for _ in 0..12 {
        let rest = &line[at..];
        let blank = rest.bytes().take_while(|b| matches!(b, b' ' | b'\t')).count();
        let taken = mark(&rest[blank..]);
        if taken == 0 {
            return at + blank;
        }
        at += blank + taken;
    }
    at
}

fn mark(rest: &str) -> usize {
    let bytes = rest.as_bytes();
    match bytes.first() {
        Some(b'>') if prompted_call(rest) > 0 => prompted_call(rest),
        Some(b'>' | b'|') => bytes.iter().take_while(|b| matches!(b, b'>' | b'|')).count(),
        Some(b'-') => {
            let dashes = bytes.iter().take_while(|&&b| b == b'-').count();
            match bytes.get(dashes) {
                Some(b'>') => dashes + 1,
                Some(b' ') | None => dashes,
                _ => 0,
            }
        }
        Some(b'<') => angle(bytes),
        Some(b'=') => {
            let signs = bytes.iter().take_while(|&&b| b == b'=').count();
            if bytes.get(signs) == Some(&b'>') { signs + 1 } else { 0 }
        }
        Some(b'*') => {
            let stars = bytes.iter().take_while(|&&b| b == b'*').count();
            if stars > 1 || bytes.get(1) == Some(&b' ') { stars } else { 0 }
        }
        Some(b'`') => bytes.iter().take_while(|&&b| b == b'`').count(),
        Some(b'[' | b'(') => bracket(rest),
        Some(b'0'..=b'9') => number(rest),
        Some(b'#' | b'$') if bytes.get(1) == Some(&b' ') => 1,
        // A dialler's script log.
        Some(b's') if rest.starts_with("send (") => "send (".len(),
        // Byte strings as an interpreter prints them.
        Some(b'b') if matches!(bytes.get(1), Some(b'\'' | b'"')) => 2,
        Some(b'A'..=b'Z' | b'a'..=b'z') => {
            let log = system_log(rest);
            if log > 0 { log } else { word(rest) }
        }
        Some(0x80..) => rest
            .chars()
            .next()
            .filter(|c| {
                matches!(c, '•' | '·' | '●' | '▶' | '→' | '←' | '◀' | '»' | '«' | '⇒' | '⇐')
            })
            .map_or(0, char::len_utf8),
        _ => 0,
    }
}

/// A call at an interpreter's prompt, up to the string that it sends: `>>> ser.write(b'`.
fn prompted_call(rest: &str) -> usize {
    let Some(call) = rest.strip_prefix(">>> ") else { return 0 };
    let is_name = |b: &u8| b.is_ascii_alphanumeric() || matches!(b, b'.' | b'_');
    let name = call.bytes().take(32).take_while(|b| is_name(b)).count();
    let opened = ["(b'", "('", "(b\"", "(\""].iter().find(|o| call[name..].starts_with(**o));
    opened.filter(|_| name > 0).map_or(0, |opening| ">>> ".len() + name + opening.len())
}

fn angle(bytes: &[u8]) -> usize {
    // `<-`, `<--`, `<<`, `< `, and the priority of a system log, `<7>`.
    let digits = bytes[1..].iter().take(3).take_while(|b| b.is_ascii_digit()).count();
    if digits > 0 && bytes.get(1 + digits) == Some(&b'>') {
        return digits + 2;
    }
    match bytes.get(1) {
        Some(b'-') => 1 + bytes[1..].iter().take_while(|&&b| b == b'-').count(),
        Some(b'<') => bytes.iter().take_while(|&&b| b == b'<').count(),
        Some(b' ') | None => 1,
        Some(b'=') => 2,
        _ => 0,
    }
}

fn bracket(rest: &str) -> usize {
    let bytes = rest.as_bytes();
    // The opening of a printed list of strings: only the mark goes, the string stays.
    for opening in ["[b'", "['", "[b\"", "[\"", "(b'", "('"] {
        if rest.starts_with(opening) {
            return opening.len();
        }
    }
    let close = if bytes[0] == b'[' { b']' } else { b')' };
    match bytes.iter().take(48).position(|&b| b == close) {
        // Nothing behind it: the bracket holds the message itself, `(RDY)`.
        Some(end) if bytes[0] == b'(' && rest[end + 1..].trim().is_empty() => 0,
        Some(end) => {
            let colon = usize::from(bytes.get(end + 1) == Some(&b':'));
            let who = if is_moment_of_chat(&rest[1..end]) { speaker(&rest[end + 1..]) } else { 0 };
            end + 1 + colon.max(who)
        }
        None => 0,
    }
}

/// `3/4/26, 10:02`, as chats are exported.
fn is_moment_of_chat(text: &str) -> bool {
    text.split_once(", ").is_some_and(|(date, time)| {
        date.bytes().all(|b| b.is_ascii_digit() || matches!(b, b'/' | b'.' | b'-'))
            && date.bytes().filter(u8::is_ascii_punctuation).count() == 2
            && time.starts_with(|c: char| c.is_ascii_digit())
            && time.contains(':')
    })
}

/// ` Ann: ` behind the moment: who speaks.
fn speaker(rest: &str) -> usize {
    const LONGEST: usize = 32;
    match rest.find(": ") {
        Some(end) if end <= LONGEST && rest.starts_with(' ') => end + 2,
        _ => 0,
    }
}

/// What a system's log sets before a line: `Mar  4 10:00:01 hut gatewayd[812]: ` (RFC 3164 §4.1),
/// the time left out or written in another way before it.
fn system_log(rest: &str) -> usize {
    const MONTHS: [&str; 12] =
        ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    // A time or a program's name has a colon; most lines have none.
    if memchr::memchr(b':', rest.as_bytes()).is_none() {
        return 0;
    }
    let token = |from: usize| rest[from..].find(' ').map_or(rest.len(), |n| from + n);
    let dated = MONTHS.iter().any(|m| rest.starts_with(m)) && rest.as_bytes().get(3) == Some(&b' ');
    let mut at = 0;
    if dated {
        let day = 4 + rest[4..].bytes().take_while(|&b| b == b' ').count();
        let time = token(day) + 1;
        let digits = rest
            .get(day..time)
            .is_some_and(|d| d.trim().len() <= 2 && d.trim().bytes().all(|b| b.is_ascii_digit()));
        if !digits || super::stamp::find(rest.get(time..).unwrap_or("")).is_none() {
            return 0;
        }
        at = token(time) + 1;
    }
    // The machine and the program, or the program alone; with a date its number may be left out.
    let stamped = at.min(rest.len());
    for _ in 0..2 {
        let end = token(at.min(rest.len()));
        let word = rest.get(at..end).unwrap_or("");
        let program = word.strip_suffix(':').is_some_and(|name| {
            let numbered = name.strip_suffix(']').and_then(|n| n.split_once('[')).is_some_and(
                |(name, number)| {
                    !name.is_empty()
                        && !number.is_empty()
                        && number.bytes().all(|b| b.is_ascii_digit())
                },
            );
            numbered || dated && !name.is_empty()
        });
        if program {
            return end;
        }
        at = end + 1;
    }
    stamped
}

fn number(rest: &str) -> usize {
    let bytes = rest.as_bytes();
    let token = bytes
        .iter()
        .take_while(|b| {
            b.is_ascii_digit()
                || matches!(b, b':' | b'.' | b',' | b'-' | b'/' | b'_' | b'T' | b'Z' | b'+')
        })
        .count();
    let digits = bytes.iter().take_while(|b| b.is_ascii_digit()).count();
    let after = &rest[token..];
    let more = !after.trim().is_empty();
    let word = &rest[..token];
    let clock = word.bytes().filter(|&b| b == b':').count() >= 1 && digits <= 4;
    let date = digits == 4 && word.bytes().filter(|&b| matches!(b, b'-' | b'/')).count() == 2;
    if clock || (date && more) {
        return token;
    }
    // A list mark `1.` or `2)`.
    if digits <= 2
        && matches!(bytes.get(digits), Some(b'.' | b')'))
        && bytes.get(digits + 1) == Some(&b' ')
    {
        return digits + 1;
    }
    // The number of a line as editors show it.
    if digits <= 6 && bytes.get(digits) == Some(&b'|') {
        return digits + 1;
    }
    // A counter or seconds since start, with something behind it.
    let counter = (5..=13).contains(&digits) && digits == token;
    let seconds =
        word.bytes().filter(|&b| b == b'.').count() == 1 && !word.contains(',') && digits >= 1;
    if more && (counter || (seconds && word.len() >= 5)) && after.starts_with([' ', '\t', '[']) {
        return token;
    }
    0
}

/// Words that say which way a line went.
fn is_direction(name: &str) -> bool {
    ["TX", "RX", "RECV", "RCVD", "SENT"].iter().any(|w| name.eq_ignore_ascii_case(w))
}

/// Words that loggers use.
fn is_loggers(name: &str) -> bool {
    let mut upper = [0; 8];
    let Some(upper) = upper.get_mut(..name.len()) else { return false };
    upper.copy_from_slice(name.as_bytes());
    upper.make_ascii_uppercase();
    matches!(
        &*upper,
        b"TX"
            | b"RX"
            | b"RECV"
            | b"SEND"
            | b"SENT"
            | b"RCVD"
            | b"READ"
            | b"WRITE"
            | b"TRACE"
            | b"DEBUG"
            | b"INFO"
            | b"WARN"
            | b"WARNING"
            | b"D"
            | b"I"
            | b"W"
            | b"V"
            | b"IN"
            | b"OUT"
            | b"HOST"
            | b"MODEM"
            | b"RESPONSE"
            | b"REPLY"
            | b"RECEIVED"
            | b"SENDING"
            | b"COMMAND"
            | b"CMD"
            | b"RESP"
            | b"RSP"
            | b"AT"
            | b"MT"
            | b"TE"
            | b"DTE"
            | b"DCE"
    )
}

/// Such a word, with what usually follows it.
fn word(rest: &str) -> usize {
    let len = rest.bytes().take(10).take_while(u8::is_ascii_alphabetic).count();
    let name = &rest[..len];
    if !is_loggers(name) {
        return 0;
    }
    let after = &rest[len..];
    let bytes = after.as_bytes();
    let blanks = bytes.iter().take_while(|&&b| b == b' ').count();
    match bytes.get(blanks) {
        // `AT<`, `TX:`, `RX ->`
        Some(b':' | b'<' | b'>') => {
            let behind = &bytes[blanks + 1..];
            // `RX> "OK"`: the quote goes with the word.
            let quoted = matches!(behind, [b' ', b'\'' | b'"', ..]) && is_direction(name);
            len + blanks + 1 + if quoted { 2 } else { 0 }
        }
        Some(b'-' | b'=')
            if after[blanks..].starts_with("->") || after[blanks..].starts_with("=>") =>
        {
            len + blanks + 2
        }
        // `RX (16):`
        Some(b'(' | b'[') if blanks <= 1 => {
            let inner = bracket(&after[blanks..]);
            if inner == 0 { 0 } else { len + blanks + inner }
        }
        // `rx '+CSQ: 17,99'`: the quote goes with the word.
        Some(b'\'' | b'"') if blanks == 1 && is_direction(name) => len + blanks + 1,
        // `AT TX (6):`, `Received response:`
        Some(b'A'..=b'Z' | b'a'..=b'z') if blanks > 0 && name.len() > 1 => {
            let next = word(&after[blanks..]);
            if next == 0 { 0 } else { len + blanks + next }
        }
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn rest(line: &str) -> &str {
        &line[length(line)..]
    }

    #[test]
    fn log_marks_go_and_the_line_stays() {
        for (line, left) in [
            ("12:00:01.123 -> +CREG: 0,1", "+CREG: 0,1"),
            ("[12:00:01.123] < +CREG: 0,1", "+CREG: 0,1"),
            ("2026-04-26 16:51:07,785 : DEBUG -> x", ": DEBUG -> x"),
            ("[INFO][CELL]: AT RX (16): +CREG: 0,1", "+CREG: 0,1"),
            ("0000410077 [modem.at] TRACE: > AT", "AT"),
            ("> > OK", "OK"),
            (">>> ser.write(b'AT", "AT"),
            (">>> port.readline()", "port.readline()"),
            ("  12| +CREG: 0,1", "+CREG: 0,1"),
            ("<7> RECV: OK", "OK"),
            ("['+CREG: 0,0", "+CREG: 0,0"),
            ("   - `AT+CSQ`", "AT+CSQ`"),
            ("1. card is active", "card is active"),
            ("AT< OK", "OK"),
            ("rx '+CSQ: 17,99'", "+CSQ: 17,99'"),
            ("INFO: RX> \"ERROR\"", "ERROR\""),
            ("Mar  4 10:00:01 hut gatewayd[812]: RDY", "RDY"),
            ("Mar 14 10:00:01.120 hut kernel: usb 1-1: x", "usb 1-1: x"),
            ("2026-03-04T10:00:01+0000 hut gatewayd[812]: Call Ready", "Call Ready"),
            ("gatewayd[812]: OK", "OK"),
            ("[3/4/26, 10:02] Ann: RDY", "RDY"),
            ("[3/4/26, 10:02:44 AM] Ann Smith: > AT", "AT"),
            ("[12:00:01] Model: GW", "Model: GW"),
            ("May the modem rest", "May the modem rest"),
            ("March 4 10:00:01 x: y", "March 4 10:00:01 x: y"),
        ] {
            assert_eq!(rest(line), left, "{line}");
        }
    }

    #[test]
    fn what_the_modem_said_is_never_taken_for_a_mark() {
        for line in ["001010123456789", "-77", "AT+CREG?", "AT", "*ATREADY: 1", "+CSQ: 1", "99,99"]
        {
            assert_eq!(rest(line), line);
        }
    }

    proptest! {
        #[test]
        fn a_mark_never_ends_inside_a_character(line in "\\PC{0,60}") {
            prop_assert!(line.is_char_boundary(length(&line)));
        }
    }
}
