//! Extracts of the pasted text: a line, where the telling part stands in it, masked on request.

use crate::identity::mask;
use crate::redact::masked;
use crate::sanitize::plain;
use crate::span::{Lines, Place, Span};
use std::cell::OnceCell;

/// The pasted text, ready to be quoted from.
#[derive(Debug)]
pub struct Source<'t> {
    text: &'t str,
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

/// So many bytes of a long line are shown on each side of the mark.
const AROUND: usize = 120;

impl<'t> Source<'t> {
    /// Takes a text to quote from; identities are masked unless `unmask`.
    pub fn new(text: &'t str, unmask: bool) -> Self {
        Self { text, lines: Lines::of(text), unmask, masked: OnceCell::new(), parts: Vec::new() }
    }

    /// The same, put together from several texts, which are told apart by name.
    #[must_use]
    pub fn with_parts(mut self, parts: Vec<Part>) -> Self {
        self.parts = parts;
        self
    }

    /// The line number of a byte, from 1, counted in its own part.
    pub fn line_of(&self, at: usize) -> usize {
        self.own(self.lines.place(at).line).0
    }

    /// The name of the part that a byte stands in; `None` where there is only one text.
    pub fn part_of(&self, at: usize) -> Option<&str> {
        self.own(self.lines.place(at).line).1
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
        // Masking keeps lengths, so the parts can be cut from the masked whole.
        let line = shown.of(self.shown());
        let (before, rest) = line.split_at_checked(start - shown.start).unwrap_or(("", line));
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
        if self.unmask { self.text } else { self.masked.get_or_init(|| masked(self.text)) }
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
