//! The words of a line with their places, as the grammars of this room read them.

/// A word of a line and its place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Word<'t> {
    /// The word.
    pub(super) text: &'t str,
    /// Where it begins and ends in the line.
    pub(super) start: usize,
    pub(super) end: usize,
}

impl Word<'_> {
    /// Whether it is one of a list.
    pub(super) fn is(&self, list: &[&str]) -> bool {
        list.contains(&self.text)
    }
}

/// The words of a line: letters, digits, apostrophes and hyphens; whatever else stands between parts them.
pub(super) fn words(line: &str) -> Vec<Word<'_>> {
    split(line, |c| c.is_alphanumeric() || matches!(c, '\'' | '-'))
}

/// The runs of characters that belong to words.
pub(super) fn split(line: &str, inside: impl Fn(char) -> bool) -> Vec<Word<'_>> {
    let mut found = Vec::new();
    let mut from = None;
    for (at, c) in line.char_indices() {
        match (inside(c), from) {
            (true, None) => from = Some(at),
            (false, Some(start)) => {
                found.push(Word { text: &line[start..at], start, end: at });
                from = None;
            }
            _ => {}
        }
    }
    if let Some(start) = from {
        found.push(Word { text: &line[start..], start, end: line.len() });
    }
    found
}
