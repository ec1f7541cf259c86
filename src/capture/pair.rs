//! A command with its response beside it in one line, without the prefix: in the cells of a table,
//! behind an arrow, in a few words.
//!
//! ```text
//! | AT+CREG? | 0,5 |        AT+CGACT? → 1,1        AT+CREG? says 0,1        AT+CSQ: 17,99
//! ```

use super::body::body_end;
use super::ends::{name_len, skip_blanks};
use super::item::{Item, Kind};

/// What stands between the two.
const BETWEEN: [&str; 23] = [
    "|", "-->", "->", "==>", "=>", "→", "⇒", "▶", ":", "=", "- ", "it says", "says", "said",
    "returns", "returned", "gives", "gave", "shows", "answers", "replies", "reports", "is",
];

/// The response beside a command that ends where `command` does; `None` where what stands there is
/// not certainly one.
pub(super) fn response(line: &str, command: &Item) -> Option<Item> {
    let (prefix_start, prefix_end) = prefix(line, command)?;
    let closed = line[command.end..].bytes().take_while(|b| b"`'\"*".contains(b)).count();
    let sign_at = skip_blanks(line, command.end + closed);
    let sign = BETWEEN.iter().find(|sign| line[sign_at..].starts_with(**sign));
    let value = skip_blanks(line, sign_at + sign.map_or(0, |sign| sign.len()));
    let start = value + line[value..].bytes().take_while(|b| b"`'*".contains(b)).count();
    // A word ends at a blank, a setting's sign has one before it, and a blank alone divides only a
    // question from several values.
    let divided = match sign {
        Some(&"=") => sign_at > command.end && start > sign_at + 1,
        Some(word) if word.ends_with(|c: char| c.is_alphabetic()) => start > sign_at + word.len(),
        Some(_) => true,
        None => start > command.end && line[..command.end].ends_with('?') && start < line.len(),
    };
    // The cause of the last failure is free text (TS 27.007 §8.10).
    let is_free = line[prefix_start..prefix_end].eq_ignore_ascii_case("+CEER") && sign.is_some();
    let end = body_end(line, start, start, is_free);
    let body = &line[start..end];
    let several = body.contains(',') || body == "READY";
    let rest = line[end..].trim_start();
    let ends = rest.is_empty()
        || rest.starts_with([
            '|', '`', '"', '\'', ')', ']', '*', ';', '.', '(', '<', '-', '/', '#', '→', '←',
        ])
        || rest.starts_with("OK");
    let words = is_free
        && body.starts_with(|c: char| c.is_ascii_uppercase())
        && body != "OK"
        && body != "ERROR";
    (divided && (is_values(body) || words) && ends && (sign.is_some() || several)).then_some(Item {
        prefix_start,
        prefix_end,
        ..Item::new(Kind::Prefixed, start..end, start)
    })
}

/// Where the name of a command stands that is its response's prefix too.
fn prefix(line: &str, command: &Item) -> Option<(usize, usize)> {
    let start = command.text_at;
    let name = line[start..command.end].strip_prefix(['+', '^', '%', '#', '!', '$', '*'])?;
    let len = name_len(name);
    // A setting has no response.
    let asks = matches!(&name[len..], "" | "?" | "=?");
    (len > 1 && asks).then_some((start, start + 1 + len))
}

/// Whether a text is values between commas: numbers, quoted texts, ranges, a state in capitals.
fn is_values(text: &str) -> bool {
    let state = |field: &str| {
        field.len() > 1 && field.bytes().all(|b| b.is_ascii_uppercase() || matches!(b, b' ' | b'-'))
    };
    let number = |field: &str| {
        let digits = field.strip_prefix('-').unwrap_or(field);
        digits.starts_with(|c: char| c.is_ascii_digit())
            && digits.bytes().all(|b| b.is_ascii_hexdigit() || b == b'.')
    };
    let quoted = |field: &str| field.len() > 1 && field.starts_with('"') && field.ends_with('"');
    let range = |field: &str| field.starts_with('(') || field.ends_with(')');
    if matches!(text, "OK" | "ERROR" | "NO CARRIER" | "AT") {
        return false;
    }
    if state(text) {
        return ["READY", "SIM", "PH-", "NOT"].iter().any(|begin| text.starts_with(begin));
    }
    !text.is_empty()
        && text.split(',').map(str::trim).enumerate().all(|(n, field)| {
            n > 0 && (field.is_empty() || state(field))
                || number(field)
                || quoted(field)
                || range(field)
        })
}

#[cfg(test)]
mod tests {
    use crate::capture::{Capture, Outcome, Piece};

    fn seen(text: &str) -> Vec<String> {
        let mut found = Vec::new();
        Capture::new(text).read(|piece| {
            if let Piece::Exchange(exchange) = piece {
                let lines: Vec<_> =
                    exchange.lines.iter().map(|l| format!("{}: {}", l.prefix, l.text)).collect();
                let end = if exchange.outcome == Outcome::Ok { " OK" } else { "" };
                found.push(format!(
                    "{} > {}{end}",
                    exchange.command.unwrap_or(""),
                    lines.join(" / ")
                ));
            }
        });
        found
    }

    #[test]
    fn a_response_beside_its_command_is_read() {
        for (text, response) in [
            ("| AT+CREG? | 0,5 |", "+CREG? > +CREG: 0,5"),
            ("| AT+CREG? | 0,5 | OK |", "+CREG? > +CREG: 0,5 OK"),
            ("| `AT+CPIN?` | READY |", "+CPIN? > +CPIN: READY"),
            ("| **AT+CPIN?** | `READY` |", "+CPIN? > +CPIN: READY"),
            ("AT+CGACT? → 1,1", "+CGACT? > +CGACT: 1,1"),
            ("AT+CEREG? -> 0,3 (again)", "+CEREG? > +CEREG: 0,3"),
            ("AT+CREG? says 0,1", "+CREG? > +CREG: 0,1"),
            ("AT+CSQ: 17,99", "+CSQ > +CSQ: 17,99"),
            ("AT+CREG? = 0,1", "+CREG? > +CREG: 0,1"),
            ("AT+CREG? 0,1", "+CREG? > +CREG: 0,1"),
            ("AT+CFUN?\t|\t4", "+CFUN? > +CFUN: 4"),
            ("- AT+COPS? => 0,0,\"River Net\",7", "+COPS? > +COPS: 0,0,\"River Net\",7"),
            ("AT+CREG? | +CREG: 0,5 | OK", "+CREG? > +CREG: 0,5 OK"),
            ("AT+CEER   → No cause known", "+CEER > +CEER: No cause known"),
        ] {
            assert_eq!(seen(text), [response], "{text}");
        }
    }

    #[test]
    fn a_setting_or_a_sentence_has_none() {
        for text in [
            "AT+CREG=2",
            "AT+CFUN=1 | 0,5",
            "AT+CSQ = 17,99",
            "AT+CREG? shall return 0,1 or 0,5",
            "if AT+CREG? says 0,3 then call us at once",
            "AT+CSQ | level",
            "AT+CREG? | ERROR",
            "AT+CREG? | 12:00:01",
            "AT+CREG? 5",
            "AT+CREG?",
        ] {
            assert!(
                seen(text).iter().all(|e| !e.contains("+CREG: ") && !e.contains("+CSQ: ")),
                "{text}: {:?}",
                seen(text)
            );
        }
    }
}
