//! The history of a ticket: what was asked, answered, still missing and settled at each text; and what this version of
//! the program says of the same texts.

use super::error::TicketError;
use super::folder::Ticket;
use super::forms::Step;
use crate::explanation::{Basis, Explanation, View};
use crate::sanitize::plain;
use chrono::{DateTime, Utc};
use std::fmt::Write;

/// A text as this version of the program sees it.
#[derive(Clone, Debug)]
pub struct Seen {
    /// The number of the text.
    pub number: usize,
    /// The verdict now.
    pub now: Step,
    /// Whether the verdict that was kept is another one.
    pub differs: bool,
}

/// Judges all texts of a ticket again, one after the other.
///
/// # Errors
///
/// [`TicketError`] where a text cannot be read.
pub fn again(
    ticket: &Ticket,
    basis: &Basis<'_>,
    now: DateTime<Utc>,
) -> Result<Vec<Seen>, TicketError> {
    let carrier = basis.carrier.or_else(|| ticket.carrier(basis.profiles));
    let basis = Basis { carrier, ..*basis };
    let mut seen = Vec::new();
    for (at, text) in ticket.texts.iter().enumerate() {
        let (whole, parts) = ticket.joined(at + 1)?;
        let unknown = |e| TicketError::file(&ticket.folder, e);
        let explanation =
            Explanation::of(&whole, parts.clone(), &basis, View::default()).map_err(unknown)?;
        let progress = Ticket::progress(&explanation, &whole, &parts, &basis).map_err(unknown)?;
        let now = Step::of(&explanation, progress.as_ref(), now);
        let differs = text
            .step
            .as_ref()
            .is_some_and(|kept| (&kept.finding, kept.certainty) != (&now.finding, now.certainty));
        seen.push(Seen { number: text.number, now, differs });
    }
    Ok(seen)
}

/// The history for a terminal; every line is safe to show.
pub fn history(ticket: &Ticket, seen: &[Seen]) -> String {
    let mut out = String::new();
    // Writing to a string cannot fail.
    let _ = head(ticket, &mut out);
    for text in &ticket.texts {
        let now = seen.iter().find(|s| s.number == text.number);
        let _ = step(text.number, &text.name, text.step.as_ref().or(now.map(|s| &s.now)), &mut out);
        if let Some(damage) = &text.damage {
            let _ = line("  the kept verdict cannot be read: ", damage, &mut out);
        } else if text.step.is_none() {
            out.push_str("  no verdict was kept; this is that of this version\n");
        }
        if let Some(now) = now.filter(|s| s.differs).map(|s| &s.now) {
            let words = format!("{}: {}", now.finding_words(), now.summary);
            let _ = line("  this version of the program says: ", &words, &mut out);
        }
    }
    out
}

fn line(label: &str, words: &str, out: &mut String) -> std::fmt::Result {
    writeln!(out, "{label}{}", plain(words))
}

fn head(ticket: &Ticket, out: &mut String) -> std::fmt::Result {
    let day = |at: DateTime<Utc>| at.format("%Y-%m-%d").to_string();
    let opened = ticket.opened().map_or("date unknown".into(), day);
    let site = ticket.head.site.as_deref().map(|site| format!(" · {site}")).unwrap_or_default();
    line("", &format!("{}{site} · opened {opened}", ticket.name()), out)?;
    if let Some(carrier) = &ticket.head.carrier {
        line("carrier: ", carrier, out)?;
    }
    for note in &ticket.head.notes {
        line("note: ", note, out)?;
    }
    if let Some(closing) = &ticket.closing {
        let was = closing.was.as_deref().map(|id| format!(" ({id})")).unwrap_or_default();
        line("", &format!("closed {}: {}{was}", day(closing.closed), closing.note), out)?;
    }
    Ok(())
}

fn step(number: usize, name: &str, step: Option<&Step>, out: &mut String) -> std::fmt::Result {
    writeln!(out)?;
    let Some(step) = step else { return line(&format!("{number}. "), name, out) };
    let at = step.judged.format("%Y-%m-%d %H:%M UTC");
    line(&format!("{number}. "), &format!("{name}, {at}, version {}", step.program), out)?;
    line("  ", &step.summary, out)?;
    let acts = step.acts.words();
    line("  ", &format!("{} · can act: {acts}", step.finding_words()), out)?;
    for (label, list) in [
        ("  answered: ", &step.answered),
        ("  still missing: ", &step.missing),
        ("  settled: ", &settled(&step.settled)),
        ("  asked: ", &step.asked),
    ] {
        if !list.is_empty() {
            line(label, &list.join(", "), out)?;
        }
    }
    Ok(())
}

/// What a text settled: the causes that hold by name, those ruled out by their number.
fn settled(all: &[String]) -> Vec<String> {
    let (holds, others): (Vec<String>, Vec<String>) =
        all.iter().cloned().partition(|s| s.ends_with(": holds"));
    let count = match others.len() {
        0 => None,
        1 => Some(others[0].clone()),
        n => Some(format!("{n} causes: ruled-out")),
    };
    holds.into_iter().chain(count).collect()
}
