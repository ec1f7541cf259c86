//! Dialogue that is written as bytes: rows of a hex dump, lists of byte values, runs of digits.

use super::log_marks;
use super::mapped::Edits;

/// Turns rows of bytes into what they spell.
pub(super) fn decode(text: &str, edits: &mut Edits<'_>) {
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
                edits.insert(from, "\n");
            }
            spell(&row, from, edits);
            edits.remove(from + row.bytes.last().map_or(0, |(at, _)| at + 2)..from + piece.len());
            before = Some(row);
        } else if before.take().is_some() {
            edits.insert(from, "\n");
        }
        from += piece.len();
    }
}

/// Puts what each byte of a row spells in its place.
fn spell(row: &Row<'_>, from: usize, edits: &mut Edits<'_>) {
    let mut done = from;
    for &(at, byte) in &row.bytes {
        let mut buffer = [0; 4];
        let letter = match byte {
            b'\r' | b'\n' => "\n",
            0x20..=0x7e => char::from(byte).encode_utf8(&mut buffer),
            _ => "",
        };
        let place = from + at;
        edits.remove(done..place);
        edits.replace(place..place + 2, letter);
        done = place + 2;
    }
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
    // The shortest row is an offset of four digits before one byte.
    line.bytes().filter(u8::is_ascii_hexdigit).nth(5)?;
    // Marks of mail before a row are no part of it.
    let quoted = line.trim_start_matches(['>', '|', '*', ' ', '\t']);
    let indent = line.len() - quoted.len();
    let list = line[indent..].starts_with("[0x");
    let start =
        if list || offset(&line[indent..]).is_some() { indent } else { log_marks::length(line) };
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
        let mut value = [0];
        if bytes.get(at..at + 2).is_none_or(|pair| hex::decode_to_slice(pair, &mut value).is_err())
        {
            return (found, end);
        }
        if bytes.get(at + 2).is_some_and(u8::is_ascii_alphanumeric) {
            return (found, end);
        }
        found.push((at, value[0]));
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
    let bytes = hex::decode(body).ok()?;
    Some(bytes.into_iter().enumerate().map(|(n, byte)| (start + 2 * n, byte)).collect())
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
    use crate::capture::mapped::MappedText;

    fn plain(text: &str) -> String {
        let mapped = MappedText::original(text).edited(decode);
        mapped.text().split_whitespace().collect::<Vec<_>>().join(" ")
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
        let mapped = MappedText::original(text).edited(decode);
        let at = mapped.text().find("ATI").unwrap();
        assert_eq!(mapped.origin(crate::span::Span::new(at, at + 3)).of(text), "41 54 4");
    }
}
