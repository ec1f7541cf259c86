//! All tickets of a folder: the open ones by age and by who must act.

use super::error::TicketError;
use super::folder::Ticket;
use crate::rules::Acts;
use crate::sanitize::plain;
use chrono::{DateTime, Utc};
use serde_json::{Value, json};
use std::path::Path;

/// The tickets of a folder.
#[derive(Debug, Default)]
pub struct Listing {
    /// Those that can be read, by the names of their folders.
    pub tickets: Vec<Ticket>,
    /// Why others cannot be read.
    pub damaged: Vec<String>,
}

/// Opens every ticket of a folder; folders without a `ticket.toml` and links are passed over.
///
/// # Errors
///
/// [`TicketError`] where the folder itself cannot be read.
pub fn listing(folder: &Path) -> Result<Listing, TicketError> {
    let fail = |e| TicketError::file(folder, e);
    let mut paths = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(fail)? {
        let path = entry.map_err(fail)?.path();
        let is_folder = std::fs::symlink_metadata(&path).is_ok_and(|found| found.is_dir());
        if is_folder && path.join("ticket.toml").exists() {
            paths.push(path);
        }
    }
    paths.sort();
    let mut listing = Listing::default();
    for path in paths {
        match Ticket::open(&path) {
            Ok(ticket) => listing.tickets.push(ticket),
            Err(error) => listing.damaged.push(error.to_string()),
        }
    }
    Ok(listing)
}

impl Ticket {
    /// Who must act; whoever is at the device where nothing is known yet.
    pub fn acts(&self) -> Acts {
        self.last_step().map_or(Acts::Installer, |step| step.acts)
    }

    /// The ticket in one object.
    pub fn json(&self) -> Value {
        let step = self.last_step();
        json!({
            "ticket": self.name(),
            "folder": self.folder.display().to_string(),
            "site": self.head.site,
            "opened": self.opened(),
            "texts": self.texts.len(),
            "finding": step.map(|s| &s.finding),
            "certainty": step.map(|s| s.certainty.word()),
            "acts": self.acts().word(),
            "summary": step.map(|s| &s.summary),
            "missing": step.map(|s| &s.missing),
            "asked": step.map(|s| &s.asked),
            "closed": self.closing.as_ref().map(|c| c.closed),
            "note": self.closing.as_ref().map(|c| &c.note),
            "was": self.closing.as_ref().and_then(|c| c.was.as_ref()),
        })
    }

    fn line(&self, now: DateTime<Utc>) -> String {
        let age = self.opened().map_or("age unknown".into(), |at| age(now - at));
        let site = self.head.site.as_deref().map(|site| format!(" · {site}")).unwrap_or_default();
        let verdict = match (&self.closing, self.last_step()) {
            (Some(closing), _) => format!("closed: {}", closing.note),
            (None, Some(step)) => step.finding_words(),
            (None, None) => "not judged yet".into(),
        };
        let line = format!("  {} · {age}{site} · {verdict}", self.name());
        format!("{}\n", plain(&line))
    }
}

fn age(age: chrono::TimeDelta) -> String {
    let hours = age.num_hours().max(0);
    match hours {
        0 => "less than an hour".into(),
        1 => "1 hour".into(),
        2..48 => format!("{hours} hours"),
        _ => format!("{} days", hours / 24),
    }
}

impl Listing {
    /// Keeps the open tickets, oldest first; with `closed` the others, too.
    #[must_use]
    pub fn chosen(mut self, closed: bool, acts: Option<Acts>) -> Self {
        self.tickets.retain(|ticket| closed || ticket.closing.is_none());
        self.tickets.retain(|ticket| acts.is_none_or(|acts| ticket.acts() == acts));
        self.tickets
            .sort_by_key(|t| (t.closing.is_some(), t.opened().unwrap_or(DateTime::UNIX_EPOCH)));
        self
    }

    /// The tickets for a terminal, by who must act.
    pub fn text(&self, now: DateTime<Utc>) -> String {
        let open = self.tickets.iter().filter(|t| t.closing.is_none()).count();
        let noun = if open == 1 { "open ticket" } else { "open tickets" };
        let mut out = format!("{open} {noun}, the oldest first\n");
        for acts in Acts::ALL {
            let of = |t: &&Ticket| t.closing.is_none() && t.acts() == *acts;
            let lines: String = self.tickets.iter().filter(of).map(|t| t.line(now)).collect();
            if !lines.is_empty() {
                out.push_str(&format!("\nCan act: {}\n{lines}", acts.words()));
            }
        }
        let closed = self.tickets.iter().filter(|t| t.closing.is_some());
        let closed: String = closed.map(|t| t.line(now)).collect();
        if !closed.is_empty() {
            out.push_str(&format!("\nClosed\n{closed}"));
        }
        out
    }
}
