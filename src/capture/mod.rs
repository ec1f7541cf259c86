//! Pasted or recorded text to exchanges with one modem, every piece with its place in the text.

mod bare;
mod body;
mod characters;
mod column_wrap;
mod command;
mod decode;
mod ends;
mod exchange;
mod frames;
mod hanging_indent;
mod hex;
mod item;
mod line_ends;
mod log_marks;
mod mail;
mod mail_coding;
mod mapped;
mod markup;
mod one_character_lines;
mod open_quote;
mod order;
mod pair;
mod passes;
mod reference_block;
mod result;
mod search;
mod sentence;
mod spelled_controls;
mod stamp;
mod starts;
mod tag;
mod terminal_sequences;
mod word_wrap;

#[cfg(test)]
mod results_tests;
#[cfg(test)]
mod tests;

pub use decode::{DecodeError, decode};
pub use exchange::{Ending, Exchange, Line, Outcome, Piece, Sentence};
pub use passes::{PASSES, Pass};
pub use sentence::words;
pub use stamp::Stamp;
pub(crate) use tag::{KINDS as TAG_KINDS, Kind as TagKind, Tag};

use crate::span::Span;
use exchange::Gatherer;
use mapped::MappedText;

/// A text made ready for reading.
#[derive(Debug)]
pub struct Capture<'t> {
    text: &'t str,
    plain: MappedText<'t>,
}

impl<'t> Capture<'t> {
    /// Makes a decoded text ready: each pass undoes one thing that was done to it on its way.
    pub fn new(text: &'t str) -> Self {
        let original = MappedText::original(text);
        let plain = passes::PASSES.iter().fold(original, |text, pass| pass.apply(text));
        Self { text, plain }
    }

    /// The text as it was given.
    pub fn text(&self) -> &'t str {
        self.text
    }

    /// The plain text: the given one without what was done to it on its way.
    pub(crate) fn plain_text(&self) -> &str {
        self.plain.text()
    }

    /// The lines of the plain text that have something of a range of the given text.
    pub(crate) fn plain_lines(&self, given: Span) -> Span {
        let lines = self.plain.lines_from(given.start..given.end);
        Span::new(lines.start, lines.end)
    }

    /// Where a range of the plain text stands in the given text, on character boundaries.
    pub fn origin(&self, span: Span) -> Span {
        let mut origin = self.plain.origin(span);
        while origin.end < self.text.len() && !self.text.is_char_boundary(origin.end) {
            origin.end += 1;
        }
        while origin.start > 0 && !self.text.is_char_boundary(origin.start) {
            origin.start -= 1;
        }
        origin
    }

    /// Reads through the text from its oldest line to its newest, handing out the exchanges in order, and the lines of words in between.
    pub fn read<'s>(&'s self, piece: impl FnMut(Piece<'_, 's>)) {
        self.read_lines(|_| true, piece);
    }

    /// Reads the lines that are of one part: those whose start in the plain text `is_of` says so.
    pub(crate) fn read_lines<'s>(
        &'s self,
        is_of: impl Fn(usize) -> bool,
        piece: impl FnMut(Piece<'_, 's>),
    ) {
        let text = self.plain.text();
        let mut gather = Gatherer::new(text, piece);
        let books = reference_block::blocks(text);
        for part in order::parts(text) {
            for line in mapped::lines(&text[part.clone()]) {
                let start = part.start + line.start;
                let quoted = || books.iter().any(|block| block.contains(&start));
                if is_of(start) && !quoted() {
                    read_line(&text[start..part.start + line.end], start, &mut gather);
                }
            }
        }
        gather.end(text.len());
    }

    /// Hands out every line of the given text with its start and the tags that it bears, in the order on the page.
    pub(crate) fn tagged_lines(&self, mut each: impl FnMut(usize, &[Tag])) {
        let mut tags = Vec::new();
        for line in mapped::lines(self.text) {
            tag::find(&self.text[line.clone()], &mut tags);
            each(line.start, &tags);
        }
    }
}

/// Reads a line that begins at `from` in the plain text.
fn read_line<'t, F: FnMut(Piece<'_, 't>)>(
    line: &'t str,
    from: usize,
    gather: &mut Gatherer<'t, F>,
) {
    if line.trim().is_empty() {
        return;
    }
    let mut items = Vec::new();
    let marks = search::find(line, &mut items);
    let at = stamp::find(&line[..marks]);
    let Some(first) = items.first() else {
        let payload = line[marks..].trim_end();
        gather.words(line, from, false);
        if !payload.is_empty() {
            gather.plain(payload, from + marks, at);
        }
        return;
    };
    if first.in_sentence {
        gather.words(line, from, true);
    }
    for item in &items {
        gather.item(line, from, item, at);
    }
}
