//! The lines of a plain text, found once for all that look at them, and what is seen of each at a
//! glance.

use super::direct::{self, Glance};

/// A line that is not empty.
#[derive(Clone, Copy, Debug)]
pub(super) struct PlainLine {
    /// Where it begins in the plain text.
    pub start: usize,
    /// Where it ends, without its line end.
    pub end: usize,
    /// The item that it is and nothing else, where a glance tells.
    pub glance: Option<Glance>,
}

impl PlainLine {
    /// The line's text, of the plain text that it was found in.
    pub(super) fn of(self, text: &str) -> &str {
        &text[self.start..self.end]
    }

    /// How many line feeds part this line from `other`, which stands before it.
    pub(super) fn feeds_since(self, other: Self, text: &str) -> usize {
        let between = &text.as_bytes()[other.end..self.start];
        between.iter().filter(|&&b| b == b'\n').count()
    }
}

/// The lines of a paste, and which of them no glance tells: the thorough looks are for these.
#[derive(Debug)]
pub(super) struct Table {
    pub(super) all: Vec<PlainLine>,
    unknown: Vec<usize>,
}

impl Table {
    /// The lines of `text`.
    pub(super) fn of(text: &str) -> Self {
        let mut all = Vec::with_capacity(text.len() / 14 + 8);
        let mut unknown = Vec::with_capacity(16);
        for line in lines(text) {
            if line.glance.is_none() {
                unknown.push(all.len());
            }
            all.push(line);
        }
        Self { all, unknown }
    }

    /// The places among all lines of those that no glance tells.
    pub(super) fn unknown(&self) -> &[usize] {
        &self.unknown
    }
}

/// The lines of a text one after the other. A carriage return ends a line as a line feed does.
#[derive(Clone)]
pub(super) struct Lines<'t> {
    text: &'t str,
    from: usize,
}

/// The lines of `text`.
pub(super) fn lines(text: &str) -> Lines<'_> {
    Lines { text, from: 0 }
}

impl Iterator for Lines<'_> {
    type Item = PlainLine;

    #[inline]
    fn next(&mut self) -> Option<PlainLine> {
        let bytes = self.text.as_bytes();
        let mut start = self.from;
        while matches!(bytes.get(start)?, b'\n' | b'\r') {
            start += 1;
        }
        let rest = &bytes[start..];
        let glance = direct::glance(rest);
        let len = match glance {
            Some(glance) => glance.end(),
            None => memchr::memchr2(b'\n', b'\r', rest).unwrap_or(rest.len()),
        };
        self.from = start + len;
        Some(PlainLine { start, end: self.from, glance })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn the_same_lines_as_a_library_cuts(text in "(OK|\\+CREG: 0,1|it is|é| |\r|\n|\r\n){0,12}") {
            let ours: Vec<&str> = lines(&text).map(|line| line.of(&text)).collect();
            let library: Vec<&str> = text.split(['\r', '\n']).filter(|l| !l.is_empty()).collect();
            prop_assert_eq!(ours, library);
        }
    }

    #[test]
    fn an_empty_line_parts_its_neighbours() {
        for (text, feeds) in [("a\rb", 0), ("a\r\nb", 1), ("a\r\r\nb", 1), ("a\r\n\r\nb", 2)] {
            let all: Vec<PlainLine> = lines(text).collect();
            assert_eq!(all[1].feeds_since(all[0], text), feeds, "{text:?}");
        }
    }
}
