//! Where something stands in the input: byte ranges, and lines and columns made from them.

/// A range of bytes in the decoded text of a capture, `start` included, `end` not.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The first byte.
    pub start: usize,
    /// The byte after the last one.
    pub end: usize,
}

impl Span {
    /// The range from `start` up to, but without, `end`.
    pub fn new(start: usize, end: usize) -> Self {
        Self { start, end: end.max(start) }
    }

    /// The smallest range that holds both.
    #[must_use]
    pub fn to(self, other: Self) -> Self {
        Self { start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// The text that stands there; empty where the range does not fit the text.
    pub fn of(self, text: &str) -> &str {
        text.get(self.start..self.end).unwrap_or("")
    }
}

/// A line and a column, both counted from 1; columns count characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// The line, counted from 1.
    pub line: usize,
    /// The character in the line, counted from 1.
    pub column: usize,
}

/// Where lines of a text begin, for finding places without reading it again from its start.
///
/// Only the start of every so many lines is kept, so that a long text costs next to nothing.
#[derive(Debug)]
pub struct Lines<'t> {
    text: &'t str,
    /// The starts of lines 1, 1 + `EVERY`, 1 + 2 `EVERY` …
    marks: Vec<usize>,
}

/// So many lines lie between two starts that are kept.
const EVERY: usize = 512;

/// The starts of the lines behind a place; LF, CR LF and a lone CR end a line.
fn starts(bytes: &[u8], from: usize) -> impl Iterator<Item = usize> {
    memchr::memchr2_iter(b'\n', b'\r', &bytes[from..])
        .map(move |at| from + at)
        .filter(|&at| bytes[at] == b'\n' || bytes.get(at + 1) != Some(&b'\n'))
        .map(|at| at + 1)
}

impl<'t> Lines<'t> {
    /// Reads where lines begin; LF, CR LF and a lone CR end a line.
    pub fn of(text: &'t str) -> Self {
        let further = starts(text.as_bytes(), 0).skip(EVERY - 1).step_by(EVERY);
        Self { text, marks: std::iter::once(0).chain(further).collect() }
    }

    /// The place of a byte; positions past the end give the end.
    pub fn place(&self, at: usize) -> Place {
        let mark = self.marks.partition_point(|&s| s <= at).max(1) - 1;
        let mut from = self.marks[mark];
        let mut line = mark * EVERY + 1;
        for start in starts(self.text.as_bytes(), from).take_while(|&s| s <= at) {
            from = start;
            line += 1;
        }
        let upto = at.min(self.text.len());
        let column = self.text.get(from..upto).map_or(1, |s| s.chars().count() + 1);
        Place { line, column }
    }

    /// The line of a byte, counted from 1; a column costs a count of the characters before it, this does not.
    pub fn line_of(&self, at: usize) -> usize {
        let mark = self.marks.partition_point(|&s| s <= at).max(1) - 1;
        let further = starts(self.text.as_bytes(), self.marks[mark]).take_while(|&s| s <= at);
        mark * EVERY + 1 + further.count()
    }

    /// The ranges of all lines in order, without their line ends.
    pub fn spans(&self) -> impl Iterator<Item = Span> {
        let bytes = self.text.as_bytes();
        let ends = starts(bytes, 0).chain(std::iter::once(self.text.len()));
        let mut from = 0;
        ends.map(move |end| {
            let body = self.text[from..end].trim_end_matches(['\r', '\n']);
            let span = Span::new(from, from + body.len());
            from = end;
            span
        })
    }

    /// The range of line `number` (from 1) without its line end; `None` past the end.
    pub fn line(&self, number: usize) -> Option<Span> {
        let index = number.checked_sub(1)?;
        let mark = *self.marks.get(index / EVERY)?;
        let bytes = self.text.as_bytes();
        let start = match index % EVERY {
            0 => mark,
            further => starts(bytes, mark).nth(further - 1)?,
        };
        let end = starts(bytes, start).next().unwrap_or(self.text.len());
        let body = self.text[start..end].trim_end_matches(['\r', '\n']);
        Some(Span::new(start, start + body.len()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_end_counts_once() {
        let lines = Lines::of("a\r\nb\rc\nd");
        let places: Vec<_> = [0, 3, 5, 7].iter().map(|&at| lines.place(at).line).collect();
        assert_eq!(places, [1, 2, 3, 4]);
    }

    #[test]
    fn columns_count_characters_not_bytes() {
        assert_eq!(Lines::of("ÿ?AT").place(3), Place { line: 1, column: 3 });
    }

    #[test]
    fn a_line_is_given_without_its_end() {
        let text = "one\r\ntwo";
        let lines = Lines::of(text);
        assert_eq!(lines.line(1).unwrap().of(text), "one");
        assert_eq!(lines.line(2).unwrap().of(text), "two");
        assert_eq!(lines.line(3), None);
    }

    #[test]
    fn places_are_right_beyond_the_first_mark() {
        let text: String = (1..=3 * EVERY).map(|n| format!("{n}\r\n")).collect();
        let lines = Lines::of(&text);
        for number in [1, 2, EVERY, EVERY + 1, EVERY + 2, 2 * EVERY + 1, 3 * EVERY] {
            let span = lines.line(number).unwrap();
            assert_eq!(span.of(&text), number.to_string());
            assert_eq!(lines.place(span.start), Place { line: number, column: 1 });
            assert_eq!(lines.line_of(span.start), number);
            assert_eq!(lines.spans().nth(number - 1), Some(span));
        }
        assert_eq!(lines.place(text.len()).line, 3 * EVERY + 1);
        assert_eq!(lines.line(3 * EVERY + 2), None);
    }
}
