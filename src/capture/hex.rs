//! Dialogue that is written as bytes: rows of a hex dump, lists of byte values, runs of digits.

use super::normal::{Builder, Normal, stack};
use super::places::places_of;
use super::prefix;

/// The text with rows of bytes turned into what they spell; the same where there are none.
pub(super) fn unpack(normal: Normal<'_>) -> Normal<'_> {
    let upper = may_hold_dump(&normal).then(|| unpacked(normal.text())).flatten();
    match upper {
        Some(upper) => stack(normal, upper),
        None => normal,
    }
}

fn unpacked(text: &str) -> Option<Normal<'static>> {
    let mut builder = Builder::new(text);
    let mut found = false;
    let mut before: Option<Row<'_>> = None;
    let mut from = 0;
    for piece in text.split_inclusive('\n') {
        let body = piece.trim_end_matches(['\n', '\r']);
        let running = before.as_ref().is_some_and(|b| b.offset);
        if let Some(row) = row(body, running) {
            // Rows of one dump run on; a new mark before the bytes begins a new line.
            let runs_on =
                before.as_ref().is_some_and(|b| b.offset && row.offset && b.marks == row.marks);
            if before.is_some() && !runs_on {
                builder.replace(from, "\n");
            }
            for (at, byte) in &row.bytes {
                let mut letter = [0; 4];
                let letter = match byte {
                    b'\r' | b'\n' => "\n",
                    0x20..=0x7e => char::from(*byte).encode_utf8(&mut letter),
                    _ => "",
                };
                builder.replace(from + at, letter);
            }
            before = Some(row);
            found = true;
        } else {
            if before.take().is_some() {
                builder.replace(from, "\n");
            }
            builder.copy(from, from + piece.len());
        }
        from += piece.len();
    }
    found.then(|| builder.finish())
}

/// Whether a line can be a row of bytes. A cheap look before the costly one.
fn may_hold_dump(normal: &Normal<'_>) -> bool {
    let text = normal.text();
    if normal.is_paste() {
        normal.unknown_lines().map(|line| line.of(text)).any(|line| may_hold_bytes(line.as_bytes()))
    } else {
        may_hold_bytes(text.as_bytes())
    }
}

/// Whether somewhere three pairs of hexadecimal digits follow each other as a dump writes them, or
/// a long run of digits spells a command.
fn may_hold_bytes(bytes: &[u8]) -> bool {
    const RUNS: [&[u8]; 4] = [b"4154", b"0x41", b"0d0a", b"0D0A"];
    // No letter's byte is written without a digit.
    if !bytes.iter().fold(false, |any, b| any | b.is_ascii_digit()) {
        return false;
    }
    let pair =
        |at: usize| bytes.get(at..at + 2).is_some_and(|p| p.iter().all(u8::is_ascii_hexdigit));
    let spaced = places_of(b' ', bytes).any(|at| {
        matches!(bytes.get(at + 3), Some(b' '))
            && at >= 2
            && pair(at - 2)
            && pair(at + 1)
            && pair(at + 4)
    });
    // Each of the runs begins with one of two digits.
    let run = |at: usize| RUNS.iter().any(|run| bytes[at..].starts_with(run));
    spaced || memchr::memchr2_iter(b'4', b'0', bytes).any(run)
}

/// A row of bytes: each with its place in the line.
struct Row<'l> {
    marks: &'l str,
    offset: bool,
    bytes: Vec<(usize, u8)>,
}

/// So many bytes at least make a row without an offset.
const FEW: usize = 4;

/// The row of bytes that a line is; `running` where a row with an offset stands before it, so that
/// this one may be numbers only.
fn row(line: &str, running: bool) -> Option<Row<'_>> {
    // Marks of mail before a row are no part of it.
    let quoted = line.trim_start_matches(['>', '|', '*', ' ', '\t']);
    let indent = line.len() - quoted.len();
    let list = line[indent..].starts_with("[0x");
    let start =
        if list || offset(&line[indent..]).is_some() { indent } else { prefix::length(line) };
    let rest = &line[start..];
    let offset = offset(rest);
    let at = start + offset.unwrap_or(0);
    let (bytes, end) = pairs(line, at);
    let gutter = line[end..].trim_start();
    let whole = gutter.is_empty() || gutter.starts_with(['|', ']']) || offset.is_some();
    let enough = if offset.is_some() { !bytes.is_empty() } else { bytes.len() >= FEW };
    let text = is_text(&bytes) || running && offset.is_some() && is_printed(&bytes);
    if whole && enough && text {
        // The marks before an offset name the direction; the offset itself does not.
        return Some(Row { marks: &line[..start], offset: offset.is_some(), bytes });
    }
    run(line, start).filter(|b| is_text(b)).map(|bytes| Row {
        marks: &line[..start],
        offset: false,
        bytes,
    })
}

/// The length of an offset at the start: four to eight hexadecimal digits and a colon or blanks.
fn offset(rest: &str) -> Option<usize> {
    let rest_bytes = rest.as_bytes();
    let zero = if rest.starts_with("0x") { 2 } else { 0 };
    let digits = rest_bytes[zero..].iter().take_while(|b| b.is_ascii_hexdigit()).count();
    if !(4..=8).contains(&digits) {
        return None;
    }
    let end = zero + digits;
    match rest_bytes.get(end)? {
        b':' => Some(end + 1),
        b' ' | b'\t' => Some(end),
        _ => None,
    }
}

/// Byte pairs from `at` on, divided by blanks, commas or `0x`; where they end.
fn pairs(line: &str, mut at: usize) -> (Vec<(usize, u8)>, usize) {
    let bytes = line.as_bytes();
    let mut found = Vec::new();
    let mut end = at;
    loop {
        let blanks =
            bytes[at..].iter().take_while(|b| matches!(b, b' ' | b'\t' | b',' | b'[')).count();
        // Two columns are at most three blanks apart; behind more stands what they spell.
        if blanks > 3 && !found.is_empty() {
            return (found, end);
        }
        at += blanks;
        if line[at..].starts_with("0x") || line[at..].starts_with("0X") {
            at += 2;
        }
        let Some(value) = line.get(at..at + 2).and_then(|p| u8::from_str_radix(p, 16).ok()) else {
            return (found, end);
        };
        if bytes.get(at + 2).is_some_and(u8::is_ascii_alphanumeric) {
            return (found, end);
        }
        found.push((at, value));
        at += 2;
        end = at;
    }
}

/// A run of digits without blanks that spells a command or a reply between line ends.
fn run(line: &str, start: usize) -> Option<Vec<(usize, u8)>> {
    let digits = line[start..].bytes().take_while(u8::is_ascii_hexdigit).count();
    let body = &line[start..start + digits];
    let spells = body.starts_with("4154")
        || body.starts_with("6174")
        || body.to_ascii_lowercase().starts_with("0d0a");
    if digits < 8 || digits % 2 != 0 || !spells || !line[start + digits..].trim().is_empty() {
        return None;
    }
    (0..digits)
        .step_by(2)
        .map(|i| Some((start + i, u8::from_str_radix(&body[i..i + 2], 16).ok()?)))
        .collect()
}

/// Whether nearly all bytes are letters, numbers, signs or line ends.
fn is_printed(bytes: &[(usize, u8)]) -> bool {
    let plain = bytes.iter().filter(|(_, b)| matches!(b, 0x20..=0x7e | b'\r' | b'\n')).count();
    plain * 10 >= bytes.len() * 9
}

/// Whether they are, and some of them letters or line ends.
fn is_text(bytes: &[(usize, u8)]) -> bool {
    is_printed(bytes)
        && bytes.iter().any(|(_, b)| b.is_ascii_alphabetic() || matches!(b, b'\r' | b'\n'))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(text: &str) -> String {
        unpack(Normal::same(text)).text().split_whitespace().collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn a_dump_with_offsets_runs_on_from_row_to_row() {
        let dump = "seen:\n00000000  41 54 2b 43 53 51 0d 0a  0d 0a 2b 43 53 51 3a 20  |AT+CSQ....+CSQ: |\n00000010  31 37 2c 39 39 0d 0a     |17,99..|\nend";
        assert_eq!(plain(dump), "seen: AT+CSQ +CSQ: 17,99 end");
    }

    #[test]
    fn a_row_of_numbers_in_a_dump_belongs_to_it() {
        let dump = "00000000  2b 43 45 53 51 3a 20 39 39 2c 39 39 2c 32 35 35\n00000010  2c 32 35 35 2c 32 31 2c 34 38\n00000020  0d 0a";
        assert_eq!(plain(dump), "+CESQ: 99,99,255,255,21,48");
        assert_eq!(plain("00000010  2c 32 35 35 2c 32 31 2c"), "00000010 2c 32 35 35 2c 32 31 2c");
    }

    #[test]
    fn rows_without_offset_and_lists_are_lines_of_their_own() {
        assert_eq!(plain("TX: 41 54 0D 0A\nRX: 0D 0A 4F 4B 0D 0A"), "AT OK");
        assert_eq!(plain("[0x41, 0x54, 0x49, 0x0d]"), "ATI");
        assert_eq!(plain("41542B4353510D"), "AT+CSQ");
    }

    #[test]
    fn numbers_that_only_look_like_bytes_stay() {
        for text in
            ["12 34 56 78 90 and so on", "+CRSM: 144,0,\"00F110FFFFFF\"", "10:31:07 12 13 14 15"]
        {
            assert_eq!(plain(text), text);
        }
    }

    #[test]
    fn every_letter_leads_back_to_its_byte() {
        let text = "00000000  41 54 49 0d 0a\n";
        let unpacked = unpack(Normal::same(text));
        let at = unpacked.text().find("ATI").unwrap();
        assert_eq!(unpacked.origin(crate::span::Span::new(at, at + 3)).of(text), "41 54 4");
    }
}
