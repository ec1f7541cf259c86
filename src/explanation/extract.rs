//! Extracts of the pasted text: a line, where the telling part stands in it, masked on request.

use crate::capture::Capture;
use crate::identity::mask;
use crate::redact::masked;
use crate::sanitize::plain;
use crate::span::{Lines, Place, Span};
use std::borrow::Cow;
use std::cell::OnceCell;

/// The pasted text, ready to be quoted from.
#[derive(Debug)]
pub struct Source<'t> {
    text: &'t str,
    capture: Capture<'t>,
    lines: Lines<'t>,
    unmask: bool,
    masked: OnceCell<String>,
    parts: Vec<Part>,
}

/// One of several texts that were put together: its name, and the line before its first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// The name to show.
    pub name: String,
    /// The number of lines of the whole text before it.
    pub lines_before: usize,
    /// The byte of the whole text at which it begins.
    pub starts_at: usize,
}

impl Part {
    /// Puts a further text behind those that are joined already, on a line of its own.
    pub fn join((whole, parts): &mut (String, Vec<Self>), name: String, text: &str) {
        if !whole.is_empty() && !whole.ends_with(['\n', '\r']) {
            whole.push('\n');
        }
        let lines_before =
            if whole.is_empty() { 0 } else { Lines::of(whole).place(whole.len()).line - 1 };
        parts.push(Self { name, lines_before, starts_at: whole.len() });
        whole.push_str(text);
    }
}

/// A piece of one line, safe to show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Extract {
    /// Where the telling part begins, counted in its own part.
    pub place: Place,
    /// The name of the text that it stands in, where there are several.
    pub part: Option<String>,
    /// The line, or what of it stands around the telling part.
    pub line: String,
    /// The telling part, as bytes of `line`.
    pub mark: std::ops::Range<usize>,
}

impl Extract {
    /// The telling part.
    pub fn marked(&self) -> &str {
        self.line.get(self.mark.clone()).unwrap_or(&self.line)
    }
}

/// A text whose lines are longer is masked once as a whole, not line by line.
const LONG_LINE: usize = 4096;

/// So many bytes of a long line are shown on each side of the mark.
const AROUND: usize = 120;

impl<'t> Source<'t> {
    /// Takes a text to quote from; identities are masked unless `unmask`.
    pub fn new(capture: Capture<'t>, unmask: bool) -> Self {
        let text = capture.text();
        let lines = Lines::of(text);
        Self { text, capture, lines, unmask, masked: OnceCell::new(), parts: Vec::new() }
    }

    /// The same, put together from several texts, which are told apart by name.
    #[must_use]
    pub fn with_parts(mut self, parts: Vec<Part>) -> Self {
        self.parts = parts;
        self
    }

    /// The line number of a byte, from 1, counted in its own part.
    pub fn line_of(&self, at: usize) -> usize {
        self.own(self.lines.line_of(at)).0
    }

    /// The line number of a byte, from 1, counted from the beginning of all parts.
    pub(super) fn anchor_of(&self, at: usize) -> usize {
        self.lines.line_of(at)
    }

    /// The ranges of all lines with their numbers, counted in their own parts, and the names of these.
    pub(super) fn numbered(&self) -> impl Iterator<Item = (Span, usize, Option<&str>)> {
        // Behind the last line end there is no line.
        let there = |span: &Span| span.start < self.text.len();
        (1..).zip(self.lines.spans().filter(there)).map(|(line, span)| {
            let (number, part) = self.own(line);
            (span, number, part)
        })
    }

    /// The name of the part that a byte stands in; `None` where there is only one text.
    pub fn part_of(&self, at: usize) -> Option<&str> {
        self.own(self.lines.line_of(at)).1
    }

    fn own(&self, line: usize) -> (usize, Option<&str>) {
        match self.parts.iter().rev().find(|p| p.lines_before < line) {
            Some(part) if self.parts.len() > 1 => (line - part.lines_before, Some(&part.name)),
            _ => (line, None),
        }
    }

    /// The extract of a range of the text.
    pub fn extract(&self, span: Span) -> Extract {
        let place = self.lines.place(span.start);
        let whole = self.lines.line(place.line).unwrap_or_default();
        let start = span.start.clamp(whole.start, whole.end);
        let end = span.end.clamp(start, whole.end);
        let shown = Span::new(
            self.boundary(start.saturating_sub(AROUND).max(whole.start)),
            self.boundary((end.min(start + AROUND) + AROUND).min(whole.end)),
        );
        let end = end.min(shown.end);
        // Masking keeps lengths, so the parts can be cut from the masked line.
        let line = self.shown_of(whole, shown);
        let (before, rest) = line.split_at_checked(start - shown.start).unwrap_or(("", &line));
        let (marked, after) = rest.split_at_checked(end - start).unwrap_or((rest, ""));
        let (before, marked, after) = (plain(before), plain(marked), plain(after));
        let from = before.len();
        let (line_number, part) = self.own(place.line);
        Extract {
            place: Place { line: line_number, ..place },
            part: part.map(Into::into),
            mark: from..from + marked.len(),
            line: format!("{before}{marked}{after}"),
        }
    }

    /// The whole text, byte by byte in its place, with its secrets hidden where they are to be.
    pub fn shown(&self) -> &str {
        if self.unmask {
            return self.text;
        }
        self.masked.get_or_init(|| masked(&self.capture, Span::new(0, self.text.len())))
    }

    /// A part of a line as [`Self::shown`] has it. Of a line that is not very long only the line itself is masked.
    fn shown_of(&self, line: Span, part: Span) -> Cow<'_, str> {
        if self.unmask || self.masked.get().is_some() || line.end - line.start > LONG_LINE {
            return part.of(self.shown()).into();
        }
        let masked = masked(&self.capture, line);
        Span::new(part.start - line.start, part.end - line.start).of(&masked).to_owned().into()
    }

    fn boundary(&self, mut at: usize) -> usize {
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        at
    }

    /// A word that came from the text, safe to show.
    pub fn word(&self, text: &str) -> String {
        let shown = plain(text);
        if self.unmask { shown.into_owned() } else { mask(&shown).into_owned() }
    }
}
