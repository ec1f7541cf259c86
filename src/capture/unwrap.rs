//! Lines that a program has put into a frame of its own, the same around each: an object or a row
//! a line, a tag before it, an element around it. The frame is learnt from the text and taken off.
//!
//! ```text
//! {"t": 1700000001, "line": "+CREG: 0,3"}      | 12 | +CREG: 0,3 |      <l n="12">+CREG: 0,3</l>
//! ```

use super::normal::{Builder, Normal, upon};
use super::{direct, item, prefix, stamp};
use std::collections::HashMap;
use std::ops::Range;

/// So many lines show the frame.
const SHOWN: usize = 400;
/// Fewer lines show no frame.
const LEAST: usize = 4;
/// The longest frame before a line, and behind it, in bytes.
const LONGEST: usize = 96;

/// The text without the frame around its lines; the same where they have none.
pub(super) fn unwrap(normal: Normal<'_>) -> Normal<'_> {
    upon(normal, unframed)
}

fn unframed(normal: &Normal<'_>) -> Option<Normal<'static>> {
    let text = normal.text();
    let written = || normal.lines().map(|l| text[l].trim_end()).filter(|l| !l.is_empty());
    if plainly_spoken(written()) {
        return None;
    }
    let lines: Vec<&str> = written().take(SHOWN).collect();
    if lines.len() < LEAST {
        return None;
    }
    let frame = Frame::learn(&lines)?;
    let inner = |line: &str| frame.inside(line).is_some_and(|inside| speaks(&line[inside]));
    let before = lines.iter().filter(|l| speaks(l)).count();
    let after = lines.iter().filter(|l| inner(l)).count();
    if after <= before {
        return None;
    }
    let mut builder = Builder::new(text);
    let mut from = 0;
    for piece in text.split_inclusive('\n') {
        let line = piece.trim_end_matches(['\n', '\r']);
        match frame.inside(line) {
            Some(inside) => {
                // The time that stood in the frame stays.
                if let Some(time) = stamp::place(&line[..inside.start]) {
                    builder.replace(from + time.start, "[");
                    builder.copy(from + time.start, from + time.end);
                    builder.replace(from + time.end, "] ");
                }
                frame.copy(text, from + inside.start..from + inside.end, &mut builder);
                builder.copy(from + line.len(), from + piece.len());
            }
            None => builder.copy(from, from + piece.len()),
        }
        from += piece.len();
    }
    Some(builder.finish())
}

/// Whether the lines are mostly those of a modem as it prints them, or as known loggers do.
fn plainly_spoken<'l>(lines: impl Iterator<Item = &'l str>) -> bool {
    const FEW: usize = 12;
    let (mut all, mut plain) = (0, 0);
    for line in lines.take(FEW) {
        all += 1;
        plain += usize::from(speaks(line));
    }
    plain * 2 >= all
}

/// Whether a line is the modem's and nothing else, but for a logger's marks before it.
fn speaks(line: &str) -> bool {
    if direct::item(line).is_some() {
        return true;
    }
    let line = line[prefix::length(line)..].trim();
    if direct::item(line).is_some() || ["RDY", "Call Ready", "SMS Ready"].contains(&line) {
        return true;
    }
    let mut found = Vec::new();
    item::find(line, &mut found);
    matches!(found.as_slice(), [only] if only.start == 0 && only.end == line.len() && !only.told)
}

/// What stands around each line: its shape before it, its very characters behind it.
struct Frame {
    before: String,
    behind: String,
}

impl Frame {
    /// The longest frame that nine lines of ten share.
    fn learn(lines: &[&str]) -> Option<Self> {
        let enough = |count: usize| count >= LEAST && count * 10 >= lines.len() * 9;
        let mut shapes: HashMap<String, usize> = HashMap::new();
        for line in lines {
            for (shape, _) in beginnings(line) {
                *shapes.entry(shape).or_default() += 1;
            }
        }
        let (before, _) = shapes
            .into_iter()
            .filter(|(_, count)| enough(*count))
            .max_by(|a, b| a.0.len().cmp(&b.0.len()).then_with(|| b.0.cmp(&a.0)))?;
        let mut frame = Self { before, behind: String::new() };
        let framed: Vec<&str> = lines.iter().filter_map(|l| Some(&l[frame.inside(l)?])).collect();
        let mut ends: HashMap<&str, usize> = HashMap::new();
        for line in &framed {
            let line = line.trim_end();
            for (at, c) in line.char_indices().rev() {
                if line.len() - at > LONGEST {
                    break;
                }
                if !c.is_alphanumeric() {
                    *ends.entry(&line[at..]).or_default() += 1;
                }
            }
        }
        let behind = ends
            .into_iter()
            .filter(|(_, count)| enough(*count))
            .max_by_key(|(end, _)| end.len())
            .map_or("", |(end, _)| end);
        frame.behind = behind.to_owned();
        Some(frame)
    }

    /// Where the line inside the frame stands.
    fn inside(&self, line: &str) -> Option<Range<usize>> {
        let (_, start) = beginnings(line).find(|(shape, _)| *shape == self.before)?;
        let whole = line.trim_end();
        let end = whole.strip_suffix(self.behind.as_str()).map_or(whole.len(), str::len);
        (start <= end).then_some(start..end)
    }

    /// Copies what is inside; quotes that the frame's own quotes forced to be marked are plain again.
    fn copy(&self, text: &str, range: Range<usize>, builder: &mut Builder<'_>) {
        let opened = self.before.bytes().filter(|&b| b == b'"').count() % 2 == 1;
        let quoted = opened && self.behind.contains('"');
        let marks: &[&str] = if quoted { &["\\\"", "\"\""] } else { &[] };
        let mut from = range.start;
        let mut at = range.start;
        while at < range.end {
            if marks.iter().any(|m| text[at..range.end].starts_with(m)) {
                builder.copy(from, at);
                from = at + 1;
                at += 2;
            } else {
                at += text[at..].chars().next().map_or(1, char::len_utf8);
            }
        }
        builder.copy(from, range.end);
    }
}

/// The shapes in which a line begins, each up to a mark, with the place behind it: runs of digits
/// and of blanks count as one, whatever their length.
fn beginnings(line: &str) -> impl Iterator<Item = (String, usize)> + '_ {
    let mut shape = String::new();
    line.char_indices().take_while(|(at, _)| *at < LONGEST).filter_map(move |(at, c)| {
        let as_shape = if c.is_ascii_digit() {
            '0'
        } else if c == '\t' {
            ' '
        } else {
            c
        };
        let run = matches!(as_shape, '0' | ' ');
        if !(run && shape.ends_with(as_shape)) {
            shape.push(as_shape);
        }
        let next = at + c.len_utf8();
        let goes_on = as_shape == ' ' && line[next..].starts_with([' ', '\t']);
        let mark = matches!(c, ':' | '|' | ']' | '>' | '"' | '\'' | ')' | '=' | ',' | ' ' | '-');
        (mark && !goes_on).then(|| (shape.clone(), next))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::capture::Capture;
    use crate::case::Case;

    const LINES: [&str; 8] = [
        "AT+CPIN?",
        "+CPIN: READY",
        "OK",
        "AT+CGDCONT?",
        "+CGDCONT: 1,\"IP\",\"gauge.example\",\"\",0,0",
        "OK",
        "RDY",
        "Call Ready",
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
            assert_eq!(framed.power.all().len(), plain.power.all().len(), "{name}");
            let names = |c: &Case| c.contexts[&1].latest().unwrap().value.apn.clone();
            assert_eq!(names(&framed), names(&plain), "{name}");
        }
    }

    #[test]
    fn the_time_in_a_frame_stays() {
        let framed = case(|n, l| format!("03-04 10:00:{n:02}.123  1412  1533 D RADIO   : {l}"));
        assert!(framed.power.latest().unwrap().at.is_some());
    }

    #[test]
    fn what_lines_have_in_common_without_a_frame_stays() {
        for text in [
            "+CREG: 0,2\n+CREG: 0,2\n+CREG: 0,2\n+CREG: 0,2\n",
            "Signal: 99\nSignal: 12\nSignal: 99\nSignal: 99\n",
            "it is\nit is so\nit is not\nit is\n",
        ] {
            assert!(unframed(&Normal::same(text)).is_none(), "{text}");
        }
    }
}
