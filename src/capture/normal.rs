//! A text made plain for reading, and the way back from every byte of it to the original.

use super::lines::{PlainLine, Table};
use crate::span::Span;
use std::borrow::Cow;
use std::cell::OnceCell;

/// A plain form of a text, with a table that leads back to the original.
#[derive(Debug)]
pub(super) struct Normal<'t> {
    text: Cow<'t, str>,
    /// Places where the plain text stops running in step with the original: (plain, original),
    /// in order. Between two entries both advance byte by byte.
    steps: Vec<(usize, usize)>,
    /// The end of the original.
    end: usize,
    /// The lines of the plain text, once they were asked for.
    lines: OnceCell<Table>,
}

impl<'t> Normal<'t> {
    /// A text that is plain already.
    pub(super) fn same(text: &'t str) -> Self {
        Self::new(Cow::Borrowed(text), Vec::new(), text.len())
    }

    fn new(text: Cow<'t, str>, steps: Vec<(usize, usize)>, end: usize) -> Self {
        Self { text, steps, end, lines: OnceCell::new() }
    }

    fn table(&self) -> &Table {
        self.lines.get_or_init(|| Table::of(&self.text))
    }

    /// The lines of the plain text, kept for the next one who asks.
    pub(super) fn lines(&self) -> &[PlainLine] {
        &self.table().all
    }

    /// The places of those lines that no glance tells.
    pub(super) fn unknown(&self) -> &[usize] {
        self.table().unknown()
    }

    /// Those lines themselves.
    pub(super) fn unknown_lines(&self) -> impl Iterator<Item = PlainLine> {
        let table = self.table();
        table.unknown().iter().map(|&at| table.all[at])
    }

    /// Whether this is a paste, and no recording: that keeps its lines, and its marks are a known
    /// logger's.
    pub(super) fn is_paste(&self) -> bool {
        self.text.len() <= LONGEST_PASTE
    }

    /// The plain text.
    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// Whether the plain text is the original as it was.
    pub(super) fn is_same(&self) -> bool {
        self.steps.is_empty()
    }

    /// Where a range of the plain text stands in the original.
    pub(super) fn origin(&self, span: Span) -> Span {
        if self.is_same() {
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

    fn origin_of(&self, at: usize) -> usize {
        let index = self.steps.partition_point(|&(plain, _)| plain <= at);
        match index.checked_sub(1).map(|i| self.steps[i]) {
            Some((plain, original)) => (original + (at - plain)).min(self.end),
            None => at.min(self.end),
        }
    }
}

/// Builds a plain text piece by piece.
#[derive(Debug)]
pub(super) struct Builder<'o> {
    original: &'o str,
    text: String,
    steps: Vec<(usize, usize)>,
}

impl<'o> Builder<'o> {
    /// Starts with nothing, for the text `original`.
    pub(super) fn new(original: &'o str) -> Self {
        Self { original, text: String::with_capacity(original.len()), steps: Vec::new() }
    }

    /// Copies a range of the original as it is.
    pub(super) fn copy(&mut self, from: usize, to: usize) {
        if from < to {
            self.step(from);
            self.text.push_str(&self.original[from..to]);
        }
    }

    /// Puts `text` in the place of something that begins at `from` in the original.
    pub(super) fn replace(&mut self, from: usize, text: &str) {
        for c in text.chars() {
            self.step(from);
            self.text.push(c);
        }
    }

    /// The plain text so far.
    pub(super) fn so_far(&self) -> &str {
        &self.text
    }

    /// The finished text.
    pub(super) fn finish(self) -> Normal<'static> {
        Normal::new(Cow::Owned(self.text), self.steps, self.original.len())
    }

    fn step(&mut self, original: usize) {
        let plain = self.text.len();
        let expected = match self.steps.last() {
            Some(&(p, o)) => o + (plain - p),
            None => plain,
        };
        if expected != original || self.steps.is_empty() {
            self.steps.push((plain, original));
        }
    }
}

/// A longer text is a recording.
const LONGEST_PASTE: usize = 200_000;

/// A paste with a further plain form on top, where `further` finds something to change.
pub(super) fn upon(
    normal: Normal<'_>,
    further: impl Fn(&Normal<'_>) -> Option<Normal<'static>>,
) -> Normal<'_> {
    match if normal.is_paste() { further(&normal) } else { None } {
        Some(upper) => stack(normal, upper),
        None => normal,
    }
}

/// One plain form on top of another.
pub(super) fn stack<'t>(lower: Normal<'t>, upper: Normal<'static>) -> Normal<'t> {
    let mut steps = Vec::with_capacity(upper.steps.len() + lower.steps.len());
    // Each place where either table jumps becomes a jump of the whole.
    for &(plain, middle) in &upper.steps {
        steps.push((plain, lower.origin_of(middle)));
    }
    for &(middle, original) in &lower.steps {
        let index = upper.steps.partition_point(|&(_, m)| m <= middle);
        if let Some(&(plain, from)) = index.checked_sub(1).and_then(|i| upper.steps.get(i)) {
            let at = plain + (middle - from);
            let upto = upper.steps.get(index).map_or(upper.text.len(), |&(p, _)| p);
            if at < upto {
                steps.push((at, original));
            }
        }
    }
    steps.sort_unstable();
    steps.dedup_by_key(|&mut (plain, _)| plain);
    Normal::new(upper.text, steps, lower.end)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_leads_back_to_where_it_was_cut_from() {
        let original = "ab<CR>cd";
        let mut b = Builder::new(original);
        b.copy(0, 2);
        b.replace(2, "\n");
        b.copy(6, 8);
        let plain = b.finish();
        assert_eq!(plain.text(), "ab\ncd");
        assert_eq!(plain.origin(Span::new(3, 5)).of(original), "cd");
        assert_eq!(plain.origin(Span::new(1, 2)).of(original), "b");
    }

    #[test]
    fn two_forms_on_top_of_each_other_lead_back_together() {
        let original = "1|xAy|xBy";
        let mut b = Builder::new(original);
        b.copy(2, 5);
        b.copy(6, 9);
        let lower = b.finish();
        let middle = lower.text().to_owned();
        assert_eq!(middle, "xAyxBy");
        let mut b = Builder::new(&middle);
        b.copy(1, 2);
        b.copy(4, 5);
        let both = stack(lower, b.finish());
        assert_eq!(both.text(), "AB");
        assert_eq!(both.origin(Span::new(0, 1)).of(original), "A");
        assert_eq!(both.origin(Span::new(1, 2)).of(original), "B");
    }
}
