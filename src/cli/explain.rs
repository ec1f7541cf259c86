//! `mastside explain`: pasted modem output in, an explanation out.

use super::{Exit, input};
use crate::capture::Capture;
use crate::case::Case;
use crate::report::{self, Options};
use crate::rules::Site;
use crate::verdict::{Finding, Verdict};
use std::path::PathBuf;

/// Explain what a modem said
///
/// Reads text copied from a terminal, a log or a chat, in whatever state it arrived, and names the
/// cause, the lines that show it, who can act, and what to ask where the text does not tell.
/// Nothing is sent to a modem.
///
/// Exit status: 0 connected, 1 a fault was found, 2 unusable input, 3 not enough to tell.
#[derive(clap::Args, Debug)]
pub(super) struct Explain {
    /// Text to read, `-` for standard input
    #[arg(value_name = "FILE", default_value = "-")]
    file: PathBuf,

    /// How to print the explanation
    #[arg(long, value_enum, default_value_t)]
    format: Format,

    /// Show every judgement, also what is ruled out and what is open
    #[arg(long)]
    all: bool,

    /// Print subscriber and equipment identities in full
    ///
    /// By default they are masked, because reports travel further than their writers expect.
    #[arg(long)]
    unmask: bool,
}

/// A form of the explanation.
#[derive(Clone, Copy, Debug, Default, clap::ValueEnum)]
enum Format {
    /// For a terminal
    #[default]
    Text,
    /// One JSON object
    Json,
    /// For a ticket
    Markdown,
}

impl Explain {
    pub(super) fn run(self) -> Exit {
        let bytes = match input::read(&self.file) {
            Ok(bytes) => bytes,
            Err(error) => return input::refuse(&error),
        };
        let text = match input::text(&self.file, &bytes) {
            Ok(text) => text,
            Err(error) => return input::refuse(&error),
        };
        let capture = Capture::new(&text);
        let case = Case::read(&capture);
        let verdict = Verdict::reach(&Site::of(&case));
        let options = Options { all: self.all, unmask: self.unmask };
        let mut page = String::new();
        let written = match self.format {
            Format::Text => report::text(&text, &verdict, options, super::width(), &mut page),
            Format::Markdown => report::markdown(&text, &verdict, options, &mut page),
            Format::Json => {
                let explanation = report::json::explanation(&text, &case, &verdict, options);
                match serde_json::to_string_pretty(&explanation) {
                    Ok(json) => {
                        page.push_str(&json);
                        page.push('\n');
                        Ok(())
                    }
                    Err(_) => Err(std::fmt::Error),
                }
            }
        };
        if written.is_err() || super::print(&page).is_err() {
            return Exit::Unusable;
        }
        match verdict.finding {
            Finding::Connected { .. } => Exit::Done,
            Finding::Fault(_) => Exit::Fault,
            Finding::Unclear => Exit::Unclear,
        }
    }
}
