//! How text for a terminal is laid out: headings, and where lines break.

use anstyle::Style;
use std::fmt::{self, Write};

pub(super) const BOLD: Style = Style::new().bold();

/// A heading with a blank line above it.
pub(super) fn heading(words: &str, out: &mut impl Write) -> fmt::Result {
    writeln!(out, "\n{BOLD}{words}{BOLD:#}")
}

/// How lines are broken: between words, never inside a name such as LTE-M.
pub(crate) fn lines_of<'a>(width: usize) -> textwrap::Options<'a> {
    textwrap::Options::new(width).word_splitter(textwrap::WordSplitter::NoHyphenation)
}
