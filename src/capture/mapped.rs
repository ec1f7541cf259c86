//! A text and the way back from every byte of it to the original that it was made from.

use crate::span::Span;
use std::borrow::Cow;
use std::ops::Range;

/// A text made from an original, with a table that leads back to it.
#[derive(Debug)]
pub(super) struct MappedText<'t> {
    text: Cow<'t, str>,
    /// Places where the text stops running in step with the original: (text, original), in order.
    /// Between two entries both advance byte by byte.
    steps: Vec<(usize, usize)>,
    /// The end of the original.
    end: usize,
}

impl<'t> MappedText<'t> {
    /// The original itself.
    pub(super) fn original(text: &'t str) -> Self {
        Self { text: Cow::Borrowed(text), steps: Vec::new(), end: text.len() }
    }

    /// The text.
    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// The text after the edits that `edit` makes, mapped to the same original.
    #[must_use]
    pub(super) fn edited(self, edit: impl Fn(&str, &mut Edits<'_>)) -> Self {
        let mut edits = Edits::new(&self.text);
        edit(&self.text, &mut edits);
        match edits.finish() {
            Some((text, steps)) => self.under(text, &steps),
            None => self,
        }
    }

    /// A text made from this one, with the steps between the two.
    fn under(self, text: String, steps: &[(usize, usize)]) -> Self {
        // Each place where either table jumps becomes a jump of the whole.
        let mut both: Vec<_> = steps.iter().map(|&(at, mid)| (at, self.origin_of(mid))).collect();
        for &(middle, original) in &self.steps {
            let index = steps.partition_point(|&(_, m)| m <= middle);
            if let Some(&(upper, from)) = index.checked_sub(1).and_then(|i| steps.get(i)) {
                let at = upper + (middle - from);
                let end = steps.get(index).map_or(text.len(), |&(next, _)| next);
                if at < end {
                    both.push((at, original));
                }
            }
        }
        both.sort_unstable();
        both.dedup_by_key(|&mut (at, _)| at);
        Self { text: Cow::Owned(text), steps: both, end: self.end }
    }

    /// Where a range of the text stands in the original.
    pub(super) fn origin(&self, span: Span) -> Span {
        if self.steps.is_empty() {
            return span;
        }
        let start = self.origin_of(span.start);
        if span.end <= span.start {
            return Span::new(start, start);
        }
        // The last byte is asked for, not the one behind it: what was cut out after the range
        // does not belong to it.
        let last = self.origin_of(span.end - 1);
        Span::new(start, (last + 1).max(start).min(self.end))
    }

    /// The lines of the text that have something of a range of the original, and perhaps their neighbours.
    pub(super) fn lines_from(&self, original: Range<usize>) -> Range<usize> {
        // Steps lead on in the original, too. The step before the range may still lead into it.
        let from = self.steps.partition_point(|&(_, o)| o < original.start);
        let to = self.steps.partition_point(|&(_, o)| o <= original.end);
        let place = |index: usize, at: usize| {
            let next = self.steps.get(index).map_or(self.text.len(), |&(here, _)| here);
            let before = index.checked_sub(1).map(|i| self.steps[i]);
            before.map_or(at, |(here, o)| here + (at - o)).min(next)
        };
        let bytes = self.text.as_bytes();
        let from = place(from, original.start);
        let start = memchr::memrchr2(b'\n', b'\r', &bytes[..from]).map_or(0, |end| end + 1);
        let to = place(to, original.end).max(start);
        let end = memchr::memchr2(b'\n', b'\r', &bytes[to..]).map_or(bytes.len(), |n| to + n);
        start..end
    }

    fn origin_of(&self, at: usize) -> usize {
        let index = self.steps.partition_point(|&(here, _)| here <= at);
        match index.checked_sub(1).map(|i| self.steps[i]) {
            Some((here, original)) => (original + (at - here)).min(self.end),
            None => at.min(self.end),
        }
    }
}

/// Edits of a text, made from its start to its end; what no edit touches stays.
#[derive(Debug)]
pub(super) struct Edits<'o> {
    original: &'o str,
    /// The original was taken over up to here.
    taken: usize,
    text: String,
    steps: Vec<(usize, usize)>,
    any: bool,
}

impl<'o> Edits<'o> {
    fn new(original: &'o str) -> Self {
        Self { original, taken: 0, text: String::new(), steps: Vec::new(), any: false }
    }

    /// Takes the original over as it is, up to `to`.
    pub(super) fn keep(&mut self, to: usize) {
        if self.taken < to {
            self.step(self.taken);
            self.text.push_str(&self.original[self.taken..to]);
            self.taken = to;
        }
    }

    /// Puts `with` in the place of a range of the original.
    pub(super) fn replace(&mut self, range: Range<usize>, with: &str) {
        if !self.any {
            self.any = true;
            self.text.reserve(self.original.len());
        }
        self.keep(range.start);
        for c in with.chars() {
            self.step(range.start);
            self.text.push(c);
        }
        self.taken = range.end.max(self.taken);
    }

    /// Leaves a range of the original out.
    pub(super) fn remove(&mut self, range: Range<usize>) {
        self.replace(range, "");
    }

    /// Puts `new` before the byte `at` of the original.
    pub(super) fn insert(&mut self, at: usize, new: &str) {
        self.replace(at..at, new);
    }

    /// The last line of the edited text so far.
    pub(super) fn last_line(&self) -> &str {
        let begins = memchr::memrchr(b'\n', self.text.as_bytes()).map_or(0, |feed| feed + 1);
        &self.text[begins..]
    }

    fn finish(mut self) -> Option<(String, Vec<(usize, usize)>)> {
        if !self.any {
            return None;
        }
        self.keep(self.original.len());
        Some((self.text, self.steps))
    }

    fn step(&mut self, original: usize) {
        let here = self.text.len();
        let expected = match self.steps.last() {
            Some(&(text, from)) => from + (here - text),
            None => here,
        };
        if expected != original || self.steps.is_empty() {
            self.steps.push((here, original));
        }
    }
}

/// The lines of a text that are not empty, without their line ends. A carriage return ends a line
/// as a line feed does.
pub(super) fn lines(text: &str) -> impl Iterator<Item = Range<usize>> {
    let mut from = 0;
    std::iter::from_fn(move || {
        let bytes = text.as_bytes();
        let start = from + bytes[from..].iter().position(|b| !matches!(b, b'\n' | b'\r'))?;
        let end = memchr::memchr2(b'\n', b'\r', &bytes[start..]).map_or(text.len(), |n| start + n);
        from = end;
        Some(start..end)
    })
}

/// How many line feeds stand between two lines of a text.
pub(super) fn feeds_between(text: &str, first: &Range<usize>, second: &Range<usize>) -> usize {
    memchr::memchr_iter(b'\n', &text.as_bytes()[first.end..second.start]).count()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_range_leads_back_to_where_it_was_cut_from() {
        let original = "ab<CR>cd";
        let mapped = MappedText::original(original).edited(|_, edits| edits.replace(2..6, "\n"));
        assert_eq!(mapped.text(), "ab\ncd");
        assert_eq!(mapped.origin(Span::new(3, 5)).of(original), "cd");
        assert_eq!(mapped.origin(Span::new(1, 2)).of(original), "b");
    }

    #[test]
    fn edits_on_top_of_each_other_lead_back_together() {
        let original = "1|xAy|xBy";
        let mapped = MappedText::original(original).edited(|_, edits| {
            edits.remove(0..2);
            edits.remove(5..6);
        });
        assert_eq!(mapped.text(), "xAyxBy");
        let mapped = mapped.edited(|_, edits| {
            for range in [0..1, 2..4, 5..6] {
                edits.remove(range);
            }
        });
        assert_eq!(mapped.text(), "AB");
        assert_eq!(mapped.origin(Span::new(0, 1)).of(original), "A");
        assert_eq!(mapped.origin(Span::new(1, 2)).of(original), "B");
    }

    #[test]
    fn an_empty_line_parts_its_neighbours() {
        for (text, feeds) in [("a\rb", 0), ("a\r\nb", 1), ("a\r\r\nb", 1), ("a\r\n\r\nb", 2)] {
            let all: Vec<_> = lines(text).collect();
            assert_eq!(feeds_between(text, &all[0], &all[1]), feeds, "{text:?}");
        }
    }

    proptest! {
        #[test]
        fn the_standard_library_cuts_the_same_lines(text in "(OK|\\+CREG: 0,1|it is|é| |\r|\n|\r\n){0,12}") {
            let ours: Vec<&str> = lines(&text).map(|line| &text[line]).collect();
            let library: Vec<&str> = text.split(['\r', '\n']).filter(|l| !l.is_empty()).collect();
            prop_assert_eq!(ours, library);
        }

        #[test]
        fn what_no_edit_touches_leads_back_to_itself(
            text in "[ab]{0,30}", first in 0usize..3, second in 0usize..3,
        ) {
            // Each `a` is left out or replaced, twice over; the `b`s are numbered by their order.
            let mut mapped = MappedText::original(&text);
            for (turn, with) in [(first, "x"), (second, "")] {
                mapped = mapped.edited(|text, edits| {
                    for (at, _) in text.match_indices('a').skip(turn).step_by(2) {
                        edits.replace(at..at + 1, with);
                    }
                });
            }
            let places: Vec<usize> = text.match_indices('b').map(|(at, _)| at).collect();
            let found: Vec<usize> = mapped
                .text()
                .match_indices('b')
                .map(|(at, _)| mapped.origin(Span::new(at, at + 1)).start)
                .collect();
            prop_assert_eq!(places, found);
        }
    }
}
