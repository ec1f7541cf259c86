//! Names of the standard's responses without their sign, beside their values: in a table, a chat, a page of a device.
//!
//! ```text
//! CREG                  0,1        CGREG > 0,3        csq 25        CGATT? > 0        SIM (CPIN)   READY
//! ```
//!
//! Only the names whose values have one shape are read so; common practice, no source.

use super::body::body_end;
use super::item::{Item, Kind};

/// The names, and the shape of their values.
const NAMES: [(&str, Shape); 8] = [
    ("CEREG", Shape::Pair),
    ("CGREG", Shape::Pair),
    ("C5GREG", Shape::Pair),
    ("CREG", Shape::Pair),
    ("CSQ", Shape::Quality),
    ("CGATT", Shape::Switch),
    ("CPIN", Shape::Code),
    ("CFUN", Shape::Level),
];

#[derive(Clone, Copy, PartialEq, Eq)]
enum Shape {
    /// `0,3`
    Pair,
    /// `17` or `17,99`
    Quality,
    /// `0` or `1`
    Switch,
    /// `0`, `1`, `4`
    Level,
    /// `READY`, `SIM PIN`
    Code,
}

/// The response whose name begins at `at`, where certainly one stands there.
pub(super) fn response(line: &str, at: usize) -> Option<Item> {
    let bytes = line.as_bytes();
    if !matches!(bytes[at], b'C' | b'c') {
        return None;
    }
    let before = at.checked_sub(1).map(|n| bytes[n]);
    if before.is_some_and(|b| !matches!(b, b' ' | b'\t' | b'|' | b'(' | b'"' | b'[' | b'*' | b'`'))
    {
        return None;
    }
    let rest = &line[at..];
    let (name, shape) = NAMES.iter().find(|(name, _)| {
        rest.get(..name.len()).is_some_and(|r| r == *name || *name == "CSQ" && r == "csq")
            && !rest.as_bytes().get(name.len()).is_some_and(u8::is_ascii_alphanumeric)
    })?;
    let behind = rest[name.len()..].trim_start_matches(['?', ')', '"', '`', '*']);
    let value = behind.trim_start_matches([' ', '\t', ':', '>', '=', '|', '"', '.', '-']);
    let gap = &behind[..behind.len() - value.len()];
    let wide = gap.contains(['\t', ':', '>', '=', '|']) || gap.len() >= 2;
    let single = matches!(shape, Shape::Quality | Shape::Pair) && gap == " ";
    if !wide && !single || gap.len() > 40 || gap.ends_with('-') {
        return None;
    }
    let text_at = line.len() - value.len();
    let end = body_end(line, at, text_at, false).max(text_at);
    let body = line[text_at..end].trim_end();
    let end = text_at + body.len();
    let rest = line[end..].trim_start();
    let unit = ["dB", "db", "%", "of ", "/"].iter().any(|unit| rest.starts_with(unit));
    let ends = !unit && !line[end..].starts_with(|c: char| c.is_ascii_alphanumeric() || c == '-');
    (ends && fits(body, *shape)).then_some(Item {
        prefix_end: at + name.len(),
        ..Item::new(Kind::Prefixed, at..end, text_at)
    })
}

fn fits(body: &str, shape: Shape) -> bool {
    let digits = |text: &str, most: usize| {
        (1..=most).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit())
    };
    match shape {
        Shape::Pair => body.split_once(',').is_some_and(|(n, stat)| {
            digits(n, 1) && n < "6" && digits(stat.split(',').next().unwrap_or(""), 2)
        }),
        Shape::Quality => {
            let (level, errors) = body.split_once(',').unwrap_or((body, "99"));
            digits(level, 2) && digits(errors, 2)
        }
        Shape::Switch => matches!(body, "0" | "1"),
        Shape::Level => matches!(body, "0" | "1" | "4"),
        Shape::Code => ["READY", "SIM PIN", "SIM PUK", "SIM PIN2", "NOT INSERTED"].contains(&body),
    }
}

#[cfg(test)]
mod tests {
    use crate::capture::{Capture, Piece};

    fn seen(text: &str) -> Vec<String> {
        let mut found = Vec::new();
        Capture::new(text).read(|piece| {
            if let Piece::Exchange(exchange) = piece {
                let headed = exchange.lines.iter().filter(|line| !line.prefix.is_empty());
                found.extend(headed.map(|line| format!("{}={}", line.prefix, line.text)));
            }
        });
        found
    }

    #[test]
    fn a_name_without_its_sign_beside_its_values() {
        for (text, read) in [
            ("   CREG                  0,1", vec!["CREG=0,1"]),
            ("16:02 Ann      CREG > 0,1  csq 25", vec!["CREG=0,1", "csq=25"]),
            ("16:03 Ann      CGATT? > 0", vec!["CGATT=0"]),
            ("   Level (CSQ)     24", vec!["CSQ=24"]),
            ("| CEREG | 0,2 |", vec!["CEREG=0,2"]),
            ("CPIN  READY", vec!["CPIN=READY"]),
            ("2:00:00 poll CEREG 0,1 CSQ 19 send ok", vec!["CEREG=0,1", "CSQ=19"]),
        ] {
            assert_eq!(seen(text), read, "{text}");
        }
    }

    #[test]
    fn words_and_other_shapes_are_none() {
        for text in [
            "CREG is what I asked",
            "CREG 2",
            "CSQ 24 dBm",
            "CEREG  2",
            "the CFUN  9 level",
            "CREG - 0",
            "CSQ  -77",
            "CGATT  12",
        ] {
            assert_eq!(seen(text), Vec::<String>::new(), "{text}");
        }
    }
}
