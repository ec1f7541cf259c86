//! What can stand in a line of dialogue: a command, a response with its prefix, a final result.

use std::ops::Range;

/// What an item is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// A command; the text is what follows `AT` (empty for `AT` alone).
    Command,
    /// A response with its prefix; the text is what follows the colon.
    Prefixed,
    /// `OK`.
    Ok,
    /// `ERROR`, or `+CME ERROR` and `+CMS ERROR` with their text.
    Error,
    /// `NO CARRIER`, `BUSY`, `NO DIALTONE`, `NO ANSWER`.
    NoCarrier,
    /// `CONNECT`.
    Connect,
}

/// One item of a line; ranges count from the start of the line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Item {
    /// What it is.
    pub kind: Kind,
    /// Where it begins.
    pub start: usize,
    /// Where it ends.
    pub end: usize,
    /// Where the prefix begins, with its sign: `start`, or within the command beside the response.
    pub prefix_start: usize,
    /// The end of the prefix, for a prefixed response; `start` otherwise.
    pub prefix_end: usize,
    /// Where the text begins.
    pub text_at: usize,
    /// Whether it stands among the words of a sentence.
    pub in_sentence: bool,
}

impl Item {
    /// An item without a prefix, in a dialogue.
    pub(super) fn new(kind: Kind, range: Range<usize>, text_at: usize) -> Self {
        let Range { start, end } = range;
        Self {
            kind,
            start,
            end,
            prefix_start: start,
            prefix_end: start,
            text_at,
            in_sentence: false,
        }
    }
}
