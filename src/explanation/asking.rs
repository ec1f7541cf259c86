//! What to ask next: the first block, short enough for one paste, and what follows if it is not enough.

use crate::sanitize::{markdown as escaped, markdown_code as code};
use crate::verdict::Ask;
use anstyle::Style;
use std::fmt::{self, Write};

/// What a block of commands changes, for whoever pastes it.
pub(super) fn block_note(commands: &[&str]) -> &'static str {
    const REPORTS: [&str; 3] = ["AT+CMEE=", "AT+CEREG=", "AT+C5GREG="];
    if commands.iter().any(|c| REPORTS.iter().any(|report| c.starts_with(report))) {
        "It only reads; what the modem reports changes until its next restart:"
    } else {
        "It only reads and changes nothing:"
    }
}

/// The questions as they are shown: the block, the questions to a person, what comes later.
pub(super) struct Parts<'a> {
    /// The commands of the first block.
    pub(super) block: Vec<&'a str>,
    /// What the answers to each group of them show.
    pub(super) shows: Vec<&'a str>,
    /// Questions to a person.
    pub(super) questions: Vec<&'a str>,
    /// What is only worth asking if that is not enough.
    pub(super) further: Vec<&'a Ask>,
}

impl<'a> Parts<'a> {
    /// Parts the questions.
    pub(super) fn of(asks: &'a [Ask]) -> Self {
        let (first, further): (Vec<&Ask>, Vec<&Ask>) = asks.iter().partition(|a| !a.if_not_enough);
        let reads = || first.iter().filter(|a| !a.commands.is_empty());
        Self {
            block: reads().flat_map(|a| a.commands.iter().copied()).collect(),
            shows: reads().map(|a| a.why).collect(),
            questions: first.iter().filter_map(|a| a.question).collect(),
            further,
        }
    }
}

/// Writes the section for a terminal, `width` columns wide; nothing where there is no question.
///
/// # Errors
///
/// Only when `out` itself fails.
pub(super) fn text(asks: &[Ask], width: usize, out: &mut impl Write) -> fmt::Result {
    const BOLD: Style = Style::new().bold();
    if asks.is_empty() {
        return Ok(());
    }
    let wrapped = |first: &str, next: &str, words: &str, out: &mut dyn Write| {
        let options = super::layout::lines_of(width).initial_indent(first).subsequent_indent(next);
        textwrap::wrap(words, options).iter().try_for_each(|line| writeln!(out, "{line}"))
    };
    super::layout::heading("What to ask next", out)?;
    let Parts { block, shows, questions, further } = Parts::of(asks);
    if !block.is_empty() {
        let note = format!("Paste this block as it is. {}", block_note(&block));
        wrapped("  ", "  ", &note, out)?;
        writeln!(out)?;
        for command in &block {
            writeln!(out, "{BOLD}{command}{BOLD:#}")?;
        }
        writeln!(out, "\n  It shows")?;
        for why in shows {
            wrapped("  - ", "    ", why, out)?;
        }
    }
    for question in questions {
        wrapped("  ? ", "    ", question, out)?;
    }
    if !further.is_empty() {
        writeln!(out, "  If that is not enough")?;
    }
    for ask in further {
        let words = format!("{}: {}", ask.commands.join(", "), ask.why);
        wrapped("  - ", "    ", ask.question.unwrap_or(&words), out)?;
    }
    Ok(())
}

/// Writes the section for a ticket, the first block ready to copy; nothing where there is no question.
///
/// # Errors
///
/// Only when `out` itself fails.
pub(super) fn markdown(asks: &[Ask], out: &mut impl Write) -> fmt::Result {
    if asks.is_empty() {
        return Ok(());
    }
    writeln!(out, "### What to ask next\n")?;
    let Parts { block, shows, questions, further } = Parts::of(asks);
    if !block.is_empty() {
        writeln!(out, "Paste this block as it is. {}\n\n```text", block_note(&block))?;
        for command in &block {
            writeln!(out, "{command}")?;
        }
        writeln!(out, "```\n\nIt shows\n")?;
        for why in shows {
            writeln!(out, "- {}", escaped(why))?;
        }
        writeln!(out)?;
    }
    for question in questions {
        writeln!(out, "{}\n", escaped(question))?;
    }
    if !further.is_empty() {
        writeln!(out, "If that is not enough:\n")?;
        for ask in further {
            let commands: Vec<_> = ask.commands.iter().map(|c| code(c)).collect();
            match ask.question {
                Some(question) => writeln!(out, "1. {}", escaped(question))?,
                None => writeln!(out, "1. {}: {}", commands.join(", "), escaped(ask.why))?,
            }
        }
        writeln!(out)?;
    }
    Ok(())
}
