//! Lines that a program has put into a frame of its own, the same around each: an object or a row
//! a line, a tag before it, an element around it. The frame is learnt from the text and taken off.
//!
//! ```text
//! {"t": 1700000001, "line": "+CREG: 0,3"}      | 12 | +CREG: 0,3 |      <l n="12">+CREG: 0,3</l>
//! ```

use super::mapped::{Edits, lines};
use super::{log_marks, search, stamp};
use std::ops::Range;

/// So many lines show the frame.
const SHOWN: usize = 400;
/// Fewer lines show no frame.
const LEAST: usize = 4;
/// The longest frame before a line, and behind it, in bytes.
const LONGEST: usize = 96;

/// Takes the frame off the lines, where they have one.
pub(super) fn take_off(text: &str, edits: &mut Edits<'_>) {
    if is_plain_dialogue(text) {
        return;
    }
    // A carriage return may stand within a frame.
    let written = text.split('\n').map(str::trim_end).filter(|line| !line.is_empty());
    let sample: Vec<&str> = written.take(SHOWN).collect();
    if sample.len() < LEAST {
        return;
    }
    let Some(frame) = Frame::learn(&sample) else { return };
    let inner = |line: &str| frame.inside(line).is_some_and(|inside| is_dialogue(&line[inside]));
    let before = sample.iter().filter(|l| is_dialogue(l)).count();
    let after = sample.iter().filter(|l| inner(l)).count();
    if after <= before {
        return;
    }
    let mut from = 0;
    for piece in text.split_inclusive('\n') {
        let line = piece.trim_end_matches(['\n', '\r']);
        if let Some(inside) = frame.inside(line) {
            let inside = from + inside.start..from + inside.end;
            stamp::keep_only(text, from..inside.start, edits);
            frame.unescape(text, inside.clone(), edits);
            edits.remove(inside.end..from + line.len());
        }
        from += piece.len();
    }
}

/// Whether the lines are mostly those of a modem as it prints them, or as known loggers do.
fn is_plain_dialogue(text: &str) -> bool {
    const FEW: usize = 12;
    let first = lines(text).map(|line| text[line].trim_end()).filter(|line| !line.is_empty());
    let (mut all, mut plain) = (0, 0);
    for line in first.take(FEW) {
        plain += usize::from(is_dialogue(line));
        all += 1;
        if plain * 2 >= FEW {
            return true;
        }
    }
    plain * 2 >= all
}

/// Whether a line is the modem's and nothing else, but for a logger's marks before it.
fn is_dialogue(line: &str) -> bool {
    let line = line[log_marks::length(line)..].trim();
    if ["RDY", "Call Ready", "SMS Ready"].contains(&line) {
        return true;
    }
    let mut found = Vec::new();
    search::find(line, &mut found);
    matches!(found.as_slice(), [only] if only.start == 0 && only.end == line.len() && !only.in_sentence)
}

/// What stands around each line: its shape before it, its very characters behind it.
struct Frame {
    before: Vec<u8>,
    behind: Vec<u8>,
}

impl Frame {
    /// The longest frame that nine lines of ten share.
    fn learn(lines: &[&str]) -> Option<Self> {
        // What they share begins with the first letter; in most texts not even that is shared.
        let first = |line: &&str| line.chars().next().map(as_shape);
        let like = |one: &&str| lines.iter().filter(|l| first(l) == first(one)).count();
        let enough = enough_of(lines.len());
        if lines.len() < enough || !lines[..=lines.len() - enough].iter().any(|l| like(l) >= enough)
        {
            return None;
        }
        let shapes: Vec<Shape> = lines.iter().map(|line| Shape::of(line)).collect();
        let of_shape = |shape: &Shape, len: usize| shape.marks.iter().any(|m| m.shape == len);
        let before = shared(&shapes, lines.len(), |shape| shape.text.as_bytes(), of_shape)?;
        let mut frame = Self { before: before.to_owned(), behind: Vec::new() };
        // From the end on, so that what they share begins them too.
        let framed = lines.iter().filter_map(|l| Some(l[frame.inside(l)?].trim_end()));
        let ends: Vec<Vec<u8>> =
            framed.map(|line| line.bytes().rev().take(LONGEST).collect()).collect();
        let of_end = |end: &Vec<u8>, len: usize| {
            let first = end[len - 1];
            // A mark begins it, and no piece of a longer character.
            !first.is_ascii_alphanumeric() && first.is_ascii()
        };
        let behind = shared(&ends, lines.len(), Vec::as_slice, of_end).unwrap_or_default();
        frame.behind = behind.iter().rev().copied().collect();
        Some(frame)
    }

    /// Where the line inside the frame stands.
    fn inside(&self, line: &str) -> Option<Range<usize>> {
        let shape = Shape::of(line);
        let mark = shape.marks.iter().find(|m| m.shape == self.before.len())?;
        if !shape.text.as_bytes().starts_with(&self.before) {
            return None;
        }
        let whole = line.trim_end().as_bytes();
        let end = whole.strip_suffix(self.behind.as_slice()).map_or(whole.len(), <[u8]>::len);
        (mark.line <= end).then_some(mark.line..end)
    }

    /// Quotes that the frame's own quotes forced to be escaped become plain again.
    fn unescape(&self, text: &str, range: Range<usize>, edits: &mut Edits<'_>) {
        let opened = memchr::memchr_iter(b'"', &self.before).count() % 2 == 1;
        if !opened || !self.behind.contains(&b'"') {
            return;
        }
        // Where quotes are doubled, every run of them is even; else two in a row are an empty text.
        let doubled = text[range.clone()].split(|c| c != '"').all(|run| run.len() % 2 == 0);
        let mut at = range.start;
        while at + 1 < range.end {
            let pair = &text.as_bytes()[at..at + 2];
            if pair == b"\\\"" || doubled && pair == b"\"\"" {
                edits.remove(at..at + 1);
                at += 1;
            }
            at += 1;
        }
    }
}

/// Nine of ten.
fn enough_of(lines: usize) -> usize {
    LEAST.max((lines * 9).div_ceil(10))
}

/// The longest beginning that nine of ten share, of those that may end where they do.
fn shared<'s, T>(
    all: &'s [T],
    of: usize,
    bytes: impl Fn(&'s T) -> &'s [u8],
    may_end: impl Fn(&'s T, usize) -> bool,
) -> Option<&'s [u8]> {
    let enough = enough_of(of);
    if all.len() < enough {
        return None;
    }
    // Of so many at least one has what nine of ten share.
    let candidates = &all[..=all.len() - enough];
    let longest = candidates.iter().filter_map(|one| {
        let own = bytes(one);
        let mut same: Vec<usize> = all.iter().map(|other| in_common(own, bytes(other))).collect();
        same.sort_unstable_by(|a, b| b.cmp(a));
        let len = (1..=same[enough - 1]).rev().find(|len| may_end(one, *len))?;
        Some(&own[..len])
    });
    longest.max_by_key(|beginning| beginning.len())
}

/// How many bytes two texts have in common at their start.
fn in_common(a: &[u8], b: &[u8]) -> usize {
    a.iter().zip(b).take_while(|(a, b)| a == b).count()
}

/// A place behind a mark, in a shape and in its line.
struct Mark {
    shape: usize,
    line: usize,
}

/// A letter as it stands in a shape.
const fn as_shape(c: char) -> char {
    match c {
        '0'..='9' => '0',
        '\t' => ' ',
        other => other,
    }
}

/// How a line begins: runs of digits and of blanks count as one, whatever their length.
struct Shape {
    text: String,
    /// Where a frame may end: behind signs that divide.
    marks: Vec<Mark>,
}

impl Shape {
    fn of(line: &str) -> Self {
        let mut text = String::with_capacity(line.len().min(LONGEST + 4));
        let mut marks = Vec::with_capacity(16);
        for (at, c) in line.char_indices().take_while(|(at, _)| *at < LONGEST) {
            let as_shape = as_shape(c);
            let run = matches!(as_shape, '0' | ' ');
            if !(run && text.ends_with(as_shape)) {
                text.push(as_shape);
            }
            let next = at + c.len_utf8();
            let goes_on = as_shape == ' ' && line[next..].starts_with([' ', '\t']);
            let mark =
                matches!(c, ':' | '|' | ']' | '>' | '"' | '\'' | ')' | '=' | ',' | ' ' | '-');
            if mark && !goes_on {
                marks.push(Mark { shape: text.len(), line: next });
            }
        }
        Self { text, marks }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::Capture;
    use crate::capture::mapped::MappedText;
    use crate::case::Case;

    const LINES: [&str; 8] = [
        "RDY",
        "Call Ready",
        "AT+CPIN?",
        "+CPIN: READY",
        "OK",
        "AT+CGDCONT?",
        "+CGDCONT: 1,\"IP\",\"gauge.example\",\"\",0,0",
        "OK",
    ];

    fn case(frame: impl Fn(usize, &str) -> String) -> Case {
        let text: Vec<String> = LINES.iter().enumerate().map(|(n, l)| frame(n, l)).collect();
        Case::read(&Capture::new(&text.join("\n")))
    }

    #[test]
    fn a_frame_around_every_line_is_taken_off() {
        type Framed = fn(usize, &str) -> String;
        let frames: [(&str, Framed); 7] = [
            ("object", |n, l| format!("{{\"t\": {}, \"line\": {l:?}}}", 1_700_000_000 + n)),
            ("row", |n, l| format!("\"{n}\",\"modem0\",\"{}\"", l.replace('"', "\"\""))),
            ("element", |n, l| format!("<line n=\"{n}\">{l}</line>")),
            ("table", |n, l| format!("| {n} | {l} |")),
            ("tag", |_, l| format!("modem0: {l}")),
            ("pairs", |_, l| format!("level=info msg={l:?}")),
            ("telephone", |n, l| format!("03-04 10:00:{n:02}.123  1412  1533 D RADIO   : {l}")),
        ];
        let plain = case(|_, l| l.to_owned());
        for (name, frame) in frames {
            let framed = case(frame);
            assert_eq!(framed.device.power.all().len(), plain.device.power.all().len(), "{name}");
            let names =
                |c: &Case| c.sessions.contexts.get(&1).unwrap().latest().unwrap().value.apn.clone();
            assert_eq!(names(&framed), names(&plain), "{name}");
        }
    }

    #[test]
    fn the_time_in_a_frame_stays() {
        let framed = case(|n, l| format!("03-04 10:00:{n:02}.123  1412  1533 D RADIO   : {l}"));
        assert!(framed.device.power.latest().unwrap().at.is_some());
    }

    #[test]
    fn what_lines_have_in_common_without_a_frame_stays() {
        for text in [
            "+CREG: 0,2\n+CREG: 0,2\n+CREG: 0,2\n+CREG: 0,2\n",
            "Signal: 99\nSignal: 12\nSignal: 99\nSignal: 99\n",
            "it is\nit is so\nit is not\nit is\n",
        ] {
            assert_eq!(MappedText::original(text).edited(take_off).text(), text);
        }
    }
}
