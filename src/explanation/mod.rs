//! The explanation on its way out: text for a terminal, JSON, Markdown. Nothing is decided here.

mod extract;
pub mod json;
mod markdown;
mod returning;
mod team;
mod text;

pub use extract::{Extract, Part, Source};
pub use markdown::markdown;

pub use returning::returning;
pub use text::text;

/// How lines are broken: between words, never inside a name such as LTE-M.
pub(crate) fn lines_of<'a>(width: usize) -> textwrap::Options<'a> {
    textwrap::Options::new(width).word_splitter(textwrap::WordSplitter::NoHyphenation)
}
