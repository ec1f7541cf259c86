//! `mastside explain`: pasted modem output in, an explanation out.

use super::format::Format;
use super::{Exit, input};
use crate::explanation::{Basis, Explanation, View};
use crate::verdict::returns;
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
    #[arg(long, value_name = "DIR", value_parser = super::carrier::directory)]
    profiles: Vec<PathBuf>,

    /// The card's carrier, by the name of its profile
    #[arg(long, value_name = "NAME")]
    carrier: Option<String>,

    /// A file with your team's own notes, steps and contacts
    #[arg(long, value_name = "FILE")]
    team: Option<PathBuf>,

    #[command(flatten)]
    ticket: super::ticket::TicketArguments,

    /// Print subscriber and equipment identities in full
    ///
    /// By default they are masked, because reports travel further than their writers expect.
    #[arg(long, conflicts_with = "ticket")]
    unmask: bool,
}

impl Explain {
    pub(super) fn run(self) -> Exit {
        let (text, parts) = match input::texts(&self.files) {
            Ok(read) => read,
            Err(error) => return input::refuse(&error),
        };
        let (mut ticket, text, parts) = match self.ticket.opened(&text, &parts) {
            Ok(None) => (None, text, parts),
            Ok(Some((ticket, text, parts))) => (Some(ticket), text, parts),
            Err(exit) => return exit,
        };
        let (profiles, _) = super::carrier::load(&self.profiles);
        let team = match super::team(self.team.as_deref()) {
            Ok(team) => team,
            Err(exit) => return exit,
        };
        let carrier = ticket.as_ref().and_then(|t| t.carrier(&profiles)).map(str::to_owned);
        let basis = Basis {
            profiles: &profiles,
            carrier: self.carrier.as_deref().or(carrier.as_deref()),
            team: Some(&team),
            tried: self.returning.then_some(&self.tried),
        };
        let view = View { all: self.all, unmask: self.unmask, width: super::width() };
        let mut explanation = match Explanation::of(&text, parts.clone(), &basis, view) {
            Ok(explanation) => explanation,
            Err(error) => return super::refuse(&error.to_string()),
        };
        if let Some(ticket) = &mut ticket
            && let Err(exit) = super::ticket::keep(ticket, &mut explanation, &text, &parts, &basis)
        {
            return exit;
        }
        let mut page = String::new();
        if self.format.write(&explanation, &mut page).is_err() || super::print(&page).is_err() {
            return Exit::Unusable;
        }
        Exit::of(explanation.verdict())
    }
}
