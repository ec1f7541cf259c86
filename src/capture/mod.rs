//! Pasted or recorded text to exchanges with one modem, every piece with its place in the text.

mod column_wrap;
mod command;
mod decode;
mod direct;
mod ends;
mod escapes;
mod exchange;
mod frames;
mod hex;
mod item;
mod line_ends;
mod lines;
mod normal;
mod one_character_lines;
mod places;
mod prefix;
mod result;
mod stamp;
mod starts;
mod word_wrap;

pub use decode::{DecodeError, decode};
pub use exchange::{Exchange, Line, Outcome, Piece};
pub use item::words;
pub use stamp::Stamp;

use crate::span::Span;
use exchange::Gatherer;
use item::Item;
use lines::PlainLine;
use normal::Normal;

/// A text made ready for reading.
#[derive(Debug)]
pub struct Capture<'t> {
    text: &'t str,
    normal: Normal<'t>,
}

impl<'t> Capture<'t> {
    /// Makes a decoded text ready.
    pub fn new(text: &'t str) -> Self {
        let lines = one_character_lines::joined(frames::unwrap(escapes::clean(text)));
        Self {
            text,
            normal: word_wrap::rewrapped(column_wrap::fold(hex::unpack(line_ends::relined(lines)))),
        }
    }

    /// The text as it was given.
    pub fn text(&self) -> &'t str {
        self.text
    }

    /// Where a range of the plain text stands in the given text, on character boundaries.
    #[inline]
    pub fn origin(&self, span: Span) -> Span {
        if self.normal.is_same() { span } else { self.origin_of_changed(span) }
    }

    fn origin_of_changed(&self, span: Span) -> Span {
        let mut origin = self.normal.origin(span);
        while origin.end < self.text.len() && !self.text.is_char_boundary(origin.end) {
            origin.end += 1;
        }
        while origin.start > 0 && !self.text.is_char_boundary(origin.start) {
            origin.start -= 1;
        }
        origin
    }

    /// Reads through the text, handing out the exchanges in order, and the lines of words in between.
    pub fn read<'s>(&'s self, piece: impl FnMut(Piece<'_, 's>)) {
        // The lines of a recording are not kept: there may be many.
        if self.normal.is_paste() {
            self.read_lines(self.normal.lines().iter().copied(), piece);
        } else {
            self.read_lines(lines::lines(self.normal.text()), piece);
        }
    }

    fn read_lines<'s>(
        &'s self,
        lines: impl Iterator<Item = PlainLine>,
        piece: impl FnMut(Piece<'_, 's>),
    ) {
        let text = self.normal.text();
        let mut gather = Gatherer::new(piece);
        let mut items = Vec::new();
        for line in lines {
            match line.glance {
                Some(glance) => gather.glance(text, line.start, glance),
                None => read_closely(text, line, &mut items, &mut gather),
            }
        }
        let end = Span::new(text.len(), text.len());
        gather.finish(Outcome::Missing, end);
    }
}

/// Reads a line that no glance tells; `items` is room that is used again and again.
fn read_closely<'t, F: FnMut(Piece<'_, 't>)>(
    text: &'t str,
    line: PlainLine,
    items: &mut Vec<Item>,
    gather: &mut Gatherer<'t, F>,
) {
    let from = line.start;
    let line = line.of(text);
    if line.trim().is_empty() {
        return;
    }
    items.clear();
    let marks = item::find(line, items);
    let at = stamp::find(&line[..marks]);
    if items.is_empty() {
        let payload = line[marks..].trim_end();
        gather.words(line, from, false);
        if !payload.is_empty() {
            gather.plain(payload, from + marks, at);
        }
    } else {
        if items[0].told {
            gather.words(line, from, true);
        }
        for item in items {
            gather.item(text, from, item, at);
        }
    }
}
