//! The section on sending hardware back: each check, and the sentence at the end.

use super::extract::Source;
use crate::sanitize::markdown as escaped;
use crate::verdict::returns::{Advice, Decision, State};
use std::fmt::{self, Write};

/// Writes the decision for a terminal, `width` columns wide.
///
/// # Errors
///
/// Only when `out` itself fails.
pub(super) fn text(
    source: &Source<'_>,
    decision: &Decision,
    width: usize,
    out: &mut impl Write,
) -> fmt::Result {
    let mut wrapped = |first: &str, next: &str, words: &str| {
        let shape = super::layout::lines_of(width).initial_indent(first).subsequent_indent(next);
        textwrap::wrap(words, shape).iter().try_for_each(|line| writeln!(out, "{line}"))
    };
    wrapped("", "", "")?;
    wrapped("", "", "Before it is sent back")?;
    for (n, check) in decision.checks.iter().enumerate() {
        let shown = match &check.state {
            State::Clear(Some(e)) | State::Found(e) => {
                format!(" (line {}: {})", source.line_of(e.span.start), source.word(&e.says))
            }
            State::Reported => " (by your word)".to_owned(),
            State::Clear(None) | State::Open => String::new(),
        };
        let done = matches!(check.state, State::Clear(_) | State::Reported);
        let how = if done { String::new() } else { format!(" {}", check.how) };
        wrapped(
            &format!("{:>4}. [{}] ", n + 1, check.state.word()),
            "      ",
            &format!("{}{shown}.{how}", check.what),
        )?;
        if let Some(caution) = check.caution.filter(|_| !done) {
            wrapped("      ! ", "        ", &format!("Caution: {caution}"))?;
        }
    }
    wrapped("", "", "")?;
    wrapped("", "", &source.word(&decision.sentence))?;
    let open: Vec<&str> =
        decision.checks.iter().filter(|c| c.state == State::Open).map(|c| c.name).collect();
    if decision.advice == Advice::NotYet && !open.is_empty() {
        let words = format!(
            "Name the checks that were made and found nothing with --tried NAME,NAME: {}.",
            open.join(", ")
        );
        wrapped("", "", &words)?;
    }
    wrapped("", "", &format!("For the maker's desk: {}", source.word(&decision.for_the_maker)))
}

/// Writes the decision for a ticket.
///
/// # Errors
///
/// Only when `out` itself fails.
pub(super) fn markdown(
    source: &Source<'_>,
    decision: &Decision,
    out: &mut impl Write,
) -> fmt::Result {
    writeln!(out, "\n### Before it is sent back\n")?;
    writeln!(out, "| check | state | shown by | how |\n| --- | --- | --- | --- |")?;
    for check in &decision.checks {
        let shown = match &check.state {
            State::Clear(Some(e)) | State::Found(e) => {
                format!("line {}: {}", source.line_of(e.span.start), source.word(&e.says))
            }
            State::Reported => "your word".to_owned(),
            State::Clear(None) | State::Open => String::new(),
        };
        let caution =
            check.caution.map_or(String::new(), |c| format!(" **Caution:** {}", escaped(c)));
        writeln!(
            out,
            "| {} | {} | {} | {}{caution} |",
            escaped(check.what),
            check.state.word(),
            escaped(&shown),
            escaped(check.how)
        )?;
    }
    writeln!(out, "\n{}", escaped(&source.word(&decision.sentence)))?;
    writeln!(out, "\nFor the maker's desk: {}", escaped(&source.word(&decision.for_the_maker)))
}
