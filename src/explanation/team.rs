//! What a team adds to the root cause, on the page and in a ticket.

use crate::rules::Acts;
use crate::sanitize::{markdown as escaped, markdown_code as code, plain};
use crate::verdict::TeamLine;
use std::fmt::{self, Write};

/// One line as plain words: what stands before it, and what it says.
fn words(line: &TeamLine) -> String {
    match line {
        TeamLine::Note(note) => plain(note).into_owned(),
        TeamLine::Step(step) => {
            let who = Acts::named(&step.by).filter(|a| *a != Acts::Nobody);
            let who = who.map_or(String::new(), |a| format!("{}: ", a.words()));
            format!("{who}{}", plain(&step.text))
        }
        TeamLine::Contact(role, contact) => format!("Call {}: {}", role.words(), plain(contact)),
        TeamLine::Experience(sentence) => experience(sentence),
    }
}

/// A sentence out of closed tickets, with what it is worth.
pub(super) fn experience(sentence: &str) -> String {
    format!("{} (your team's experience, no proof)", plain(sentence))
}

/// The team's lines for a terminal, wrapped at `width`; nothing for none.
///
/// # Errors
///
/// Only when `out` itself fails.
pub(super) fn text(lines: &[TeamLine], width: usize, out: &mut impl Write) -> fmt::Result {
    let options = super::layout::lines_of(width).initial_indent("  - ").subsequent_indent("    ");
    for line in lines {
        for part in textwrap::wrap(&words(line), &options) {
            writeln!(out, "{part}")?;
        }
        let TeamLine::Step(step) = line else { continue };
        for command in &step.commands {
            let note = if step.changes { "   (changes a setting)" } else { "" };
            writeln!(out, "       {}{note}", plain(command))?;
        }
        if let Some(caution) = &step.caution {
            let caution = format!("Caution: {}", plain(caution));
            for part in textwrap::wrap(&caution, &options) {
                writeln!(out, "{part}")?;
            }
        }
    }
    Ok(())
}

/// The team's lines for a ticket; nothing for none.
///
/// # Errors
///
/// Only when `out` itself fails.
pub(super) fn markdown(lines: &[TeamLine], out: &mut impl Write) -> fmt::Result {
    for line in lines {
        writeln!(out, "- {}", escaped(&words(line)))?;
        let TeamLine::Step(step) = line else { continue };
        for command in &step.commands {
            let note = if step.changes { " (changes a setting)" } else { "" };
            writeln!(out, "  - {}{note}", code(&plain(command)))?;
        }
        if let Some(caution) = &step.caution {
            writeln!(out, "  - **Caution:** {}", escaped(&plain(caution)))?;
        }
    }
    Ok(())
}
