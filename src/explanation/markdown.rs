//! The explanation for a ticket, in Markdown.

use super::explained::Explanation;
use crate::rules::{Acts, Judgement};
use crate::sanitize::{markdown as escaped, markdown_code as code};
use crate::verdict::Finding;
use std::fmt::{self, Write};

/// Writes the explanation as Markdown.
///
/// # Errors
///
/// Only when `out` itself fails.
pub fn markdown(explanation: &Explanation<'_>, out: &mut impl Write) -> fmt::Result {
    let Explanation { source, returning, view, .. } = explanation;
    let verdict = explanation.verdict();
    writeln!(out, "## {}\n", escaped(&source.word(&verdict.summary)))?;
    let sure =
        if matches!(verdict.finding, Finding::Unclear) { "" } else { verdict.certainty.word() };
    writeln!(out, "| finding | certainty | can act | state |\n| --- | --- | --- | --- |")?;
    writeln!(
        out,
        "| `{}` | {sure} | {} | {} |\n",
        verdict.id(),
        verdict.acts.words(),
        escaped(&source.word(&verdict.state))
    )?;
    let evidence = explanation.evidence();
    if !evidence.is_empty() {
        writeln!(out, "### What shows it\n\n| line | text | says |\n| --- | --- | --- |")?;
        for e in evidence {
            let extract = source.extract(e.span);
            writeln!(
                out,
                "| {} | {} | {} |",
                extract.place.line,
                code(extract.marked()),
                escaped(&source.word(&e.says))
            )?;
        }
        writeln!(out)?;
    }
    if verdict.root().is_some() {
        writeln!(out, "### What to do\n")?;
        for action in &verdict.remedies {
            let who = if action.by == Acts::Nobody {
                String::new()
            } else {
                format!("**{}**: ", action.by.words())
            };
            writeln!(out, "1. {who}{}", escaped(action.text))?;
            for command in &action.commands {
                let note = if action.changes { " (changes a setting)" } else { "" };
                writeln!(out, "   - {}{note}", code(command))?;
            }
            if let Some(caution) = action.caution {
                writeln!(out, "   - **Caution:** {}", escaped(caution))?;
            }
        }
        writeln!(out)?;
    }
    if !verdict.team.is_empty() {
        writeln!(out, "### From your team\n")?;
        super::team::markdown(&verdict.team, out)?;
        writeln!(out)?;
    }
    super::asking::markdown(&verdict.ask_next, out)?;
    if !verdict.remarks.is_empty() {
        writeln!(out, "### Worth knowing\n")?;
        for remark in &verdict.remarks {
            writeln!(out, "- {}", escaped(&source.word(&remark.text)))?;
        }
        writeln!(out)?;
    }
    super::unread::markdown(explanation, out)?;
    if view.all {
        writeln!(out, "### Every judgement\n\n| rule | judgement | clause |\n| --- | --- | --- |")?;
        for j in &verdict.judged {
            let sure = match j.judgement {
                Judgement::Holds { certainty, .. } => format!(", {}", certainty.word()),
                _ => String::new(),
            };
            writeln!(
                out,
                "| `{}` | {}{sure} | {} |",
                j.rule.id,
                j.judgement.word(),
                escaped(j.rule.clause)
            )?;
        }
    }
    match returning {
        Some(decision) => super::returning::markdown(source, decision, out),
        None => Ok(()),
    }
}
