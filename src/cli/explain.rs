//! `mastside explain`: pasted modem output in, an explanation out.

use super::{Exit, input};
use crate::capture::Capture;
use crate::carrier::Choice;
use crate::case::Case;
use crate::explanation::{self, Source};
use crate::rules::Site;
use crate::verdict::{Finding, Verdict, returns};
use std::fmt::Write;
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
    /// Texts to read, `-` for standard input
    ///
    /// Several texts are answers of one modem in the order in which they were asked for: the later
    /// ones settle what the earlier ones left open.
    #[arg(value_name = "FILE", default_value = "-")]
    files: Vec<PathBuf>,

    /// How to print the explanation
    #[arg(long, value_enum, default_value_t)]
    format: Format,

    /// Show every judgement, also what is ruled out and what is open
    #[arg(long)]
    all: bool,

    /// Add the checks before hardware is sent back, and whether a return is justified
    #[arg(long = "return")]
    returning: bool,

    /// Checks before a return that were made outside of the text and found nothing, by their names
    #[arg(long, value_name = "NAME", requires = "returning", value_delimiter = ',',
        value_parser = clap::builder::PossibleValuesParser::new(returns::NAMES))]
    tried: Vec<String>,

    /// A directory with carrier profiles, beside the shipped ones and your own
    #[arg(long, value_name = "DIR")]
    profiles: Vec<PathBuf>,

    /// The card's carrier, by the name of its profile
    #[arg(long, value_name = "NAME")]
    carrier: Option<String>,

    /// A file with your team's own notes, steps and contacts
    #[arg(long, value_name = "FILE")]
    team: Option<PathBuf>,

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
        let (text, parts) = match input::texts(&self.files) {
            Ok(read) => read,
            Err(error) => return input::refuse(&error),
        };
        let case = Case::read(&Capture::new(&text));
        let (profiles, _) = super::carrier::load(&self.profiles);
        let choice = match Choice::make(&profiles, &case, self.carrier.as_deref()) {
            Ok(choice) => choice,
            Err(sentence) => {
                eprintln!("mastside: {sentence}");
                return Exit::Unusable;
            }
        };
        let mut verdict = Verdict::reach(&Site::with(&case, choice.carrier.as_ref(), &profiles));
        verdict.note_profile(choice.sentence);
        match super::team(self.team.as_deref()) {
            Ok(team) => verdict.note_team(&team),
            Err(exit) => return exit,
        }
        if let Some(last) = parts.last().filter(|_| parts.len() > 1) {
            let earlier = Case::read(&Capture::new(&text[..last.starts_at]));
            verdict.note_progress(&Verdict::reach(&Site::with(
                &earlier,
                choice.carrier.as_ref(),
                &profiles,
            )));
        }
        let named: Vec<_> = parts.into_iter().map(|p| p.part).collect();
        let source = Source::new(&text, self.unmask).with_parts(&named);
        let mut page = String::new();
        let decision = self.returning.then(|| returns::decide(&case, &verdict, &self.tried));
        let written = match self.format {
            Format::Text => {
                explanation::text(&source, &verdict, self.all, super::width(), &mut page)
            }
            Format::Markdown => explanation::markdown(&source, &verdict, self.all, &mut page),
            Format::Json => {
                let mut object = explanation::json::explanation(&source, &case, &verdict);
                object.returning =
                    decision.as_ref().map(|d| explanation::json::decision(&source, d));
                serde_json::to_string_pretty(&object)
                    .map_err(|_| std::fmt::Error)
                    .and_then(|json| writeln!(page, "{json}"))
            }
        };
        let written = match (self.format, &decision) {
            (Format::Text | Format::Markdown, Some(decision)) => written.and_then(|()| {
                explanation::returning(&source, decision, super::width(), &mut page)
            }),
            _ => written,
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
