//! What was not understood: how many parts of the text, and the first of them.

use super::explained::Explanation;
use super::extract::Source;
use crate::case::{Unread, Why};
use crate::sanitize::{markdown as escaped, markdown_code as code};
use std::fmt::{self, Write};

/// So many are shown outside of JSON.
const FIRST: usize = 5;

/// Everything that was not understood, of every modem in the text, in its order.
pub(super) fn all<'e>(explanation: &'e Explanation<'_>) -> Vec<&'e Unread> {
    let seen = explanation.devices.iter().flat_map(|d| &d.case.dialogue.unread);
    let mut all: Vec<_> = seen.collect();
    all.sort_by_key(|u| u.span);
    all
}

/// How many there are beyond those that are kept.
pub(super) fn more(explanation: &Explanation<'_>) -> usize {
    explanation.devices.iter().map(|d| d.case.dialogue.unread_more).sum()
}

/// Why a part was not understood; an error's number is named.
pub(super) fn reason(unread: &Unread) -> String {
    match (unread.error, unread.why) {
        (Some(number), _) => {
            format!("{number}: this vendor's own number, no meaning in the tables")
        }
        (None, why) => why.words().to_owned(),
    }
}

/// The first parts with what they show, equal ones once.
fn first<'e>(source: &Source<'_>, all: &[&'e Unread]) -> Vec<(usize, String, &'e Unread)> {
    let mut shown: Vec<(usize, String, &Unread)> = Vec::new();
    for unread in all {
        let extract = source.extract(unread.span);
        let text = extract.marked().trim();
        if shown.iter().all(|(_, other, _)| other != text) {
            shown.push((extract.place.line, text.to_owned(), unread));
        }
        if shown.len() == FIRST {
            break;
        }
    }
    shown
}

fn count(all: &[&Unread], more: usize) -> String {
    let n = all.len() + more;
    let errors = all.iter().all(|u| u.why == Why::UnknownWords && u.error.is_some());
    match (n, errors) {
        (1, true) => "One error has a number without a known meaning:".into(),
        (n, true) => format!("{n} errors have numbers without a known meaning:"),
        (1, _) => "One line of the dialogue was not understood:".into(),
        (n, _) => format!("{n} lines of the dialogue were not understood, among them:"),
    }
}

/// Writes the section for a terminal, `width` columns wide; nothing where everything was understood.
///
/// # Errors
///
/// Only when `out` itself fails.
pub(super) fn text(
    explanation: &Explanation<'_>,
    width: usize,
    out: &mut impl Write,
) -> fmt::Result {
    let all = all(explanation);
    if all.is_empty() {
        return Ok(());
    }
    super::layout::heading("Not understood", out)?;
    writeln!(out, "  {}", count(&all, more(explanation)))?;
    let options = super::layout::lines_of(width).initial_indent("  - ").subsequent_indent("    ");
    for (line, text, unread) in first(&explanation.source, &all) {
        let words = format!("line {line}: {text} ({})", reason(unread));
        for part in textwrap::wrap(&words, &options) {
            writeln!(out, "{part}")?;
        }
    }
    Ok(())
}

/// Writes the section for a ticket; nothing where everything was understood.
///
/// # Errors
///
/// Only when `out` itself fails.
pub(super) fn markdown(explanation: &Explanation<'_>, out: &mut impl Write) -> fmt::Result {
    let all = all(explanation);
    if all.is_empty() {
        return Ok(());
    }
    writeln!(out, "### Not understood\n\n{}\n", count(&all, more(explanation)))?;
    for (line, text, unread) in first(&explanation.source, &all) {
        writeln!(out, "- line {line}: {} ({})", code(&text), escaped(&reason(unread)))?;
    }
    writeln!(out)
}
