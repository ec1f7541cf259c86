//! The formats of an explanation, as `--format` names them.

use crate::explanation::{self, Explanation};
use std::fmt;

/// A format of the explanation.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Format {
    /// For a terminal
    #[default]
    Text,
    /// One JSON object
    Json,
    /// For a ticket
    Markdown,
    /// One file for a browser, with the evidence marked in the text
    Html,
    /// A message to the customer, in plain words
    Message,
}

impl Format {
    /// Writes an explanation in this format.
    pub(super) fn write(self, explanation: &Explanation<'_>, page: &mut String) -> fmt::Result {
        match self {
            Self::Text => explanation::text(explanation, page),
            Self::Json => explanation::json(explanation, page),
            Self::Markdown => explanation::markdown(explanation, page),
            Self::Html => explanation::html(explanation, page),
            Self::Message => explanation::message(explanation, page),
        }
    }
}
