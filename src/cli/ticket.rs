//! `mastside ticket`: the tickets of a folder, one of them, those alike, closing.

use super::{Exit, refuse};
use crate::explanation::{Basis, Explanation, Part};
use crate::rules::{self, Acts};
use crate::sanitize::plain;
use crate::ticket::{self, Alike, Closing, Head, Step, Ticket, TicketError, Traits};
use chrono::{DateTime, Timelike, Utc};
use serde_json::json;
use std::path::{Path, PathBuf};

/// List, show, find and close tickets
///
/// A ticket is a folder with the texts of one customer in order and the verdict after each, as plain files; `mastside
/// explain --ticket FOLDER` makes one and adds to it. Identities are masked, and texts are redacted unless their
/// originals were to be kept.
///
/// Exit status: 0 done, 1 something needs attention (a damaged ticket, a verdict that this version sees differently),
/// 2 unusable input or arguments.
#[derive(clap::Args, Debug)]
pub(super) struct TicketCommand {
    #[command(subcommand)]
    action: Action,
}

#[derive(clap::Subcommand, Debug)]
enum Action {
    /// List the open tickets of a folder, by who must act, the oldest first
    List {
        /// The folder that holds the tickets
        #[arg(value_name = "DIR", default_value = ".")]
        folder: PathBuf,

        /// Closed tickets too
        #[arg(long)]
        closed: bool,

        /// Only those on which this role must act
        #[arg(long, value_name = "ROLE", value_parser = clap::builder::PossibleValuesParser::new(Acts::ALL.iter().map(|a| a.word())))]
        acts: Option<String>,

        #[command(flatten)]
        shape: Shape,
    },
    /// Show the history of a ticket, and what this version of the program says of its texts
    Show {
        /// The folder of the ticket
        #[arg(value_name = "TICKET")]
        folder: PathBuf,

        /// A directory with carrier profiles
        #[arg(long, value_name = "DIR", value_parser = super::carrier::directory)]
        profiles: Vec<PathBuf>,

        #[command(flatten)]
        shape: Shape,
    },
    /// Find tickets alike, and what ended them
    ///
    /// Without options: those that have the cause, an error number of the vendor's own, or model and network in common
    /// with the ticket. With options: those that have all of what is named.
    Find {
        /// A ticket, or the folder that holds the tickets where options say what to find
        #[arg(value_name = "FOLDER", default_value = ".")]
        folder: PathBuf,

        /// The id of a finding
        #[arg(long, value_name = "ID")]
        cause: Option<String>,

        /// The model as the modem prints it
        #[arg(long)]
        model: Option<String>,

        /// An error number of the vendor's own
        #[arg(long, value_name = "NUMBER")]
        error: Vec<u16>,

        /// The network's code, or the name that the modem prints
        #[arg(long)]
        network: Option<String>,

        #[command(flatten)]
        shape: Shape,
    },
    /// Close a ticket with a note of what it was
    Close {
        /// The folder of the ticket
        #[arg(value_name = "TICKET")]
        folder: PathBuf,

        /// What it was, in your words; later verdicts with the same error number show it
        note: String,

        /// The id of the finding that it turned out to be
        #[arg(long, value_name = "ID")]
        was: Option<String>,
    },
    /// Open a closed ticket again
    Reopen {
        /// The folder of the ticket
        #[arg(value_name = "TICKET")]
        folder: PathBuf,
    },
}

#[derive(clap::Args, Debug)]
struct Shape {
    /// How to print it
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
enum Format {
    /// For a terminal
    #[default]
    Text,
    /// One JSON object
    Json,
}

impl TicketCommand {
    pub(super) fn run(self) -> Exit {
        let done = match self.action {
            Action::List { folder, closed, acts, shape } => {
                list(&folder, closed, acts.as_deref().and_then(Acts::named), shape.format)
            }
            Action::Show { folder, profiles, shape } => show(&folder, &profiles, shape.format),
            Action::Find { folder, cause, model, error, network, shape } => {
                let traits = Traits { cause, vendor: None, model, network, errors: error };
                find(&folder, traits, shape.format)
            }
            Action::Close { folder, note, was } => return close(&folder, note, was),
            Action::Reopen { folder } => Ticket::open(&folder).and_then(|mut ticket| {
                let reopened = ticket.reopen()?;
                Ok((Exit::Done, said(&ticket, if reopened { "is open again" } else { "is open" })))
            }),
        };
        match done {
            Ok((exit, page)) if super::print(&page).is_ok() => exit,
            Ok(_) => Exit::Unusable,
            Err(error) => refuse(&error.to_string()),
        }
    }
}

/// This moment, to the second.
fn now() -> DateTime<Utc> {
    let now = Utc::now();
    now.with_nanosecond(0).unwrap_or(now)
}

type Page = Result<(Exit, String), TicketError>;

fn said(ticket: &Ticket, words: &str) -> String {
    format!("{} {words}.\n", plain(&ticket.name()))
}

fn damage(damaged: &[String]) -> Exit {
    for sentence in damaged {
        eprintln!("mastside: {}", plain(sentence));
    }
    if damaged.is_empty() { Exit::Done } else { Exit::Fault }
}

fn object(value: &serde_json::Value) -> String {
    format!("{value:#}\n")
}

fn list(folder: &Path, closed: bool, acts: Option<Acts>, format: Format) -> Page {
    let listing = ticket::listing(folder)?.chosen(closed, acts);
    let page = match format {
        Format::Text => listing.text(now()),
        Format::Json => {
            let tickets: Vec<_> = listing.tickets.iter().map(Ticket::json).collect();
            object(&json!({ "format": 1, "tickets": tickets, "damaged": listing.damaged }))
        }
    };
    Ok((damage(&listing.damaged), page))
}

fn show(folder: &Path, profiles: &[PathBuf], format: Format) -> Page {
    let ticket = Ticket::open(folder)?;
    let (profiles, _) = super::carrier::load(profiles);
    let seen = ticket::again(&ticket, &Basis::of(&profiles), now())?;
    let page = match format {
        Format::Text => ticket::history(&ticket, &seen),
        Format::Json => {
            let kept: Vec<_> = ticket.texts.iter().map(|text| json!({
                "text": text.name, "kept": text.step, "now": seen.iter().find(|s| s.number == text.number).map(|s| &s.now),
            })).collect();
            object(&json!({ "format": 1, "ticket": ticket.json(), "steps": kept }))
        }
    };
    let changed = seen.iter().any(|s| s.differs) || ticket.texts.iter().any(|t| t.damage.is_some());
    Ok((if changed { Exit::Fault } else { Exit::Done }, page))
}

fn find(folder: &Path, named: Traits, format: Format) -> Page {
    let by_options = named != Traits::default();
    let (around, traits, own) = if by_options {
        (folder.to_owned(), named, None)
    } else {
        let ticket = Ticket::open(folder)?;
        let traits = ticket.last_step().map(Traits::of).unwrap_or_default();
        (siblings(folder), traits, Some(ticket.folder))
    };
    let mut listing = ticket::listing(&around)?;
    let own = own.and_then(|own| own.canonicalize().ok());
    listing.tickets.retain(|t| own.is_none() || t.folder.canonicalize().ok() != own);
    let found = ticket::alike(&listing.tickets, &traits, by_options);
    let page = match format {
        Format::Text if found.is_empty() => "No other ticket is like it.\n".into(),
        Format::Text => found.iter().map(alike).collect(),
        Format::Json => {
            let found: Vec<_> = found
                .iter()
                .map(|a| json!({ "shared": a.shared, "ticket": a.ticket.json() }))
                .collect();
            object(&json!({ "format": 1, "found": found, "damaged": listing.damaged }))
        }
    };
    Ok((damage(&listing.damaged), page))
}

fn alike(alike: &Alike<'_>) -> String {
    let ticket = alike.ticket;
    let end = match (&ticket.closing, ticket.last_step()) {
        (Some(closing), _) => format!("closed: {}", closing.note),
        (None, Some(step)) => format!("open: {}", step.summary),
        (None, None) => "open".into(),
    };
    let line = format!("{} ({}): {end}", ticket.name(), alike.shared.join(", "));
    format!("{}\n", plain(&line))
}

fn close(folder: &Path, note: String, was: Option<String>) -> Exit {
    if let Some(id) = was.as_deref().filter(|id| rules::find(id).is_none()) {
        return refuse(&format!("there is no rule `{id}`; `mastside rules` lists them all"));
    }
    if note.trim().is_empty() {
        return refuse("a closing note says what it was; it cannot be empty");
    }
    // Numbers of subscribers and cards have no place in what colleagues read later.
    let note = crate::identity::mask(note.trim()).into_owned();
    let closing = Closing { format: 1, closed: now(), note, was };
    let closed = Ticket::open(folder).and_then(|mut t| t.close(closing).map(|done| (t, done)));
    match closed {
        Ok((ticket, true)) if super::print(&said(&ticket, "is closed")).is_ok() => Exit::Done,
        Ok((_, true)) => Exit::Unusable,
        Ok((ticket, false)) => refuse(&format!("{} is closed already", ticket.name())),
        Err(error) => refuse(&error.to_string()),
    }
}

/// The folder that a ticket lies in, with those of the others.
fn siblings(folder: &Path) -> PathBuf {
    let whole = folder.canonicalize().unwrap_or_else(|_| folder.to_owned());
    whole.parent().map_or_else(|| PathBuf::from("."), Path::to_owned)
}

/// What `explain`, `examine` have for a ticket.
#[derive(clap::Args, Debug)]
pub(super) struct TicketArguments {
    /// A folder to keep the text and its verdict in, behind those that are there; made if it is not there
    ///
    /// The text is read as the next answer to what was asked before. It is kept redacted.
    #[arg(long, value_name = "FOLDER")]
    ticket: Option<PathBuf>,

    /// Keep the text in the ticket as it came, with its identities
    #[arg(long, requires = "ticket")]
    keep_original: bool,

    /// The site, for a new ticket
    #[arg(long, value_name = "NAME", requires = "ticket")]
    ticket_site: Option<String>,
}

/// A ticket with all its texts, ready to be explained.
pub(super) type Opened = (Ticket, String, Vec<Part>);

impl TicketArguments {
    /// Refuses a ticket that no text can be added to, before the modem is asked.
    pub(super) fn check(&self) -> Result<(), Exit> {
        let Some(folder) = &self.ticket else { return Ok(()) };
        let refused = |error: TicketError| refuse(&error.to_string());
        match Ticket::open_or_create(folder, self.head()).map_err(refused)?.closing {
            Some(_) => Err(refused(TicketError::Closed(folder.clone()))),
            None => Ok(()),
        }
    }

    fn head(&self) -> Head {
        Head { opened: Some(now()), site: self.ticket_site.clone(), ..Default::default() }
    }

    /// The ticket with these texts added; `None` where no ticket is named.
    pub(super) fn opened(&self, text: &str, parts: &[Part]) -> Result<Option<Opened>, Exit> {
        let Some(folder) = &self.ticket else { return Ok(None) };
        let add = || {
            let mut ticket = Ticket::open_or_create(folder, self.head())?;
            let ends = parts.iter().skip(1).map(|part| part.starts_at).chain([text.len()]);
            let mut from = 0;
            for end in ends {
                ticket.add(&text[from..end], self.keep_original)?;
                from = end;
            }
            let (whole, parts) = ticket.joined(usize::MAX)?;
            Ok((ticket, whole, parts))
        };
        add().map(Some).map_err(|error: TicketError| refuse(&error.to_string()))
    }
}

/// Keeps the verdict in the ticket, adds what closed tickets beside it tell, and says what is still missing.
pub(super) fn keep(
    ticket: &mut Ticket,
    explanation: &mut Explanation<'_>,
    text: &str,
    parts: &[Part],
    basis: &Basis<'_>,
) -> Result<(), Exit> {
    let progress = Ticket::progress(explanation, text, parts, basis)
        .map_err(|error| refuse(&error.to_string()))?;
    let step = Step::of(explanation, progress.as_ref(), now());
    let missing = step.missing.join(", ");
    // The others are only looked at; without them there is no experience to show.
    if let Ok(others) = ticket::listing(&siblings(&ticket.folder)) {
        explanation.note_experience(ticket::experience(&others.tickets, &step));
    }
    ticket.note(step).map_err(|error| refuse(&error.to_string()))?;
    let last = ticket.texts.last().map_or("", |text| &text.name);
    eprintln!("Ticket {}: {last} is the last text.", plain(&ticket.name()));
    if !missing.is_empty() {
        eprintln!("Asked before and still missing: {}", plain(&missing));
    }
    Ok(())
}
