//! The explanation for a terminal: the sentence first, then the lines that show it, then what to
//! do, then what to ask, what is ruled out and what is open.

use super::explained::Explanation;
use super::extract::{Extract, Source};
use super::layout::{BOLD, heading, lines_of};
use crate::case::Evidence;
use crate::rules::{Acts, Judgement};
use crate::verdict::{Finding, Judged, Verdict};
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet, renderer::DecorStyle};
use anstyle::Style;
use std::fmt::{self, Write};

const DIM: Style = Style::new().dimmed();

/// Writes the explanation, styled; print it through a stream that strips styles where they are
/// not wanted.
///
/// # Errors
///
/// Only when `out` itself fails.
pub fn text(explanation: &Explanation<'_>, out: &mut impl Write) -> fmt::Result {
    let Explanation { source, returning, view, .. } = explanation;
    let verdict = explanation.verdict();
    let width = view.width.clamp(40, 120);
    let page = Page { source, width };
    page.headline(verdict, out)?;
    page.evidence(explanation.evidence(), out)?;
    page.follows(verdict, out)?;
    if verdict.root().is_some() {
        page.actions(verdict, out)?;
    }
    if !verdict.team.is_empty() {
        heading("From your team", out)?;
        super::team::text(&verdict.team, width, out)?;
    }
    super::asking::text(&verdict.ask_next, width, out)?;
    page.remarks(verdict, out)?;
    super::unread::text(explanation, width, out)?;
    page.rest(verdict, view.all, out)?;
    match returning {
        Some(decision) => super::returning::text(source, decision, width, out),
        None => Ok(()),
    }
}

struct Page<'a> {
    source: &'a Source<'a>,
    width: usize,
}

impl Page<'_> {
    fn wrapped(&self, first: &str, next: &str, words: &str, out: &mut impl Write) -> fmt::Result {
        let options = lines_of(self.width).initial_indent(first).subsequent_indent(next);
        for line in textwrap::wrap(words, options) {
            writeln!(out, "{line}")?;
        }
        Ok(())
    }

    fn headline(&self, verdict: &Verdict, out: &mut impl Write) -> fmt::Result {
        let summary = self.source.word(&verdict.summary);
        for line in textwrap::wrap(&summary, lines_of(self.width)) {
            writeln!(out, "{BOLD}{line}{BOLD:#}")?;
        }
        let sure = match verdict.finding {
            Finding::Unclear => String::new(),
            _ => format!(", {}", verdict.certainty.word()),
        };
        let state = match verdict.root() {
            Some(root) if root.is_state => ", a state whose cause is still to be found",
            _ => "",
        };
        let acts = match verdict.finding {
            Finding::Fault(_) if verdict.acts != Acts::Nobody => {
                format!(" · can act: {}", verdict.acts.words())
            }
            Finding::Fault(_) => " · nobody needs to act".into(),
            _ => String::new(),
        };
        self.wrapped("", "", &format!("{}{sure}{state}{acts}", verdict.id()), out)?;
        if !matches!(verdict.finding, Finding::Connected { .. }) {
            self.wrapped("", "", &format!("State: {}", self.source.word(&verdict.state)), out)?;
        }
        Ok(())
    }

    fn evidence(&self, list: &[Evidence], out: &mut impl Write) -> fmt::Result {
        if list.is_empty() {
            return Ok(());
        }
        heading("What shows it", out)?;
        let extracts: Vec<_> = list.iter().map(|e| self.source.extract(e.span)).collect();
        let gutter = extracts.iter().map(|e| e.place.line.to_string().len()).max().unwrap_or(1);
        let extracts: Vec<_> = extracts
            .into_iter()
            .zip(list)
            .map(|(extract, e)| {
                let says = self.beside(&extract, gutter, &self.source.word(&e.says));
                (extract, says)
            })
            .collect();
        let mut group = Group::with_level(Level::INFO);
        for (extract, says) in &extracts {
            let mark =
                if extract.mark.is_empty() { 0..extract.line.len() } else { extract.mark.clone() };
            let mut snippet = Snippet::source(extract.line.as_str())
                .line_start(extract.place.line)
                .annotation(AnnotationKind::Primary.span(mark).label(says.as_str()));
            if let Some(part) = &extract.part {
                snippet = snippet.path(part.as_str());
            }
            group = group.element(snippet);
        }
        let renderer = Renderer::styled().decor_style(DecorStyle::Ascii).term_width(self.width);
        writeln!(out, "{}", renderer.render(&[group]))
    }

    /// What a line says, broken so that it fits beside its mark; `gutter` digits number the lines.
    fn beside(&self, extract: &Extract, gutter: usize, says: &str) -> String {
        const NARROWEST: usize = 28;
        let before = extract.line.get(..extract.mark.end).unwrap_or("").chars().count();
        let room = self.width.saturating_sub(before + gutter + 4);
        let further = |at: usize| format!("\n{:gutter$} | {:at$}", "", "");
        if room >= NARROWEST || says.chars().count() <= room {
            return textwrap::wrap(says, lines_of(room.max(1))).join(&further(before + 1));
        }
        // No room beside a mark that lies far to the right: the words go below it.
        let lines = textwrap::wrap(says, lines_of(self.width.saturating_sub(gutter + 8)));
        format!("{}{}", further(4), lines.join(&further(4)))
    }

    fn follows(&self, verdict: &Verdict, out: &mut impl Write) -> fmt::Result {
        let root = verdict.root().map(|j| j.rule.id);
        let others: Vec<&Judged> = verdict
            .judged
            .iter()
            .filter(|j| j.certainty().is_some() && Some(j.rule.id) != root)
            .collect();
        let (follow, beside): (Vec<&Judged>, Vec<&Judged>) =
            others.into_iter().partition(|j| j.because_of.is_some() && root.is_some());
        if !follow.is_empty() {
            heading("What follows from it", out)?;
            for j in follow {
                self.wrapped("  - ", "    ", &self.source.word(j.summary()), out)?;
            }
        }
        if !beside.is_empty() && !matches!(verdict.finding, Finding::Connected { .. }) {
            let title = if root.is_some() {
                "What else holds"
            } else {
                "What would fit, and is not proved"
            };
            heading(title, out)?;
            for j in beside {
                let sure = j.certainty().map_or("", crate::rules::Certainty::word);
                self.wrapped(
                    "  - ",
                    "    ",
                    &format!("{} ({sure})", self.source.word(j.summary())),
                    out,
                )?;
            }
        }
        Ok(())
    }

    fn actions(&self, verdict: &Verdict, out: &mut impl Write) -> fmt::Result {
        let actions = &verdict.remedies;
        heading("What to do", out)?;
        for (n, action) in actions.iter().enumerate() {
            let who = match action.by {
                Acts::Nobody => String::new(),
                by => format!("{}: ", capital(by.words())),
            };
            self.wrapped(
                &format!("  {}. ", n + 1),
                "     ",
                &format!("{who}{}", action.text),
                out,
            )?;
            for command in &action.commands {
                let note = if action.changes { "   (changes a setting)" } else { "" };
                writeln!(out, "       {BOLD}{command}{BOLD:#}{DIM}{note}{DIM:#}")?;
            }
        }
        if let Some(result) = verdict.result {
            self.wrapped(
                "  ",
                "  ",
                &format!("Then wait a minute and read what came of it: {result}"),
                out,
            )?;
        }
        let mut cautions: Vec<_> = actions.iter().filter_map(|a| a.caution).collect();
        cautions.dedup();
        for caution in cautions {
            self.wrapped("  ! ", "    ", &format!("Caution: {caution}"), out)?;
        }
        Ok(())
    }

    fn remarks(&self, verdict: &Verdict, out: &mut impl Write) -> fmt::Result {
        if verdict.remarks.is_empty() {
            return Ok(());
        }
        heading("Worth knowing", out)?;
        for remark in &verdict.remarks {
            let lines: Vec<_> = remark
                .evidence
                .iter()
                .map(|e| self.source.line_of(e.span.start).to_string())
                .collect();
            let place = match lines.len() {
                0 => String::new(),
                1 => format!(" (line {})", lines[0]),
                _ => format!(" (lines {})", lines.join(", ")),
            };
            self.wrapped(
                "  - ",
                "    ",
                &format!("{}{place}", self.source.word(&remark.text)),
                out,
            )?;
        }
        Ok(())
    }

    fn rest(&self, verdict: &Verdict, all: bool, out: &mut impl Write) -> fmt::Result {
        let ruled_out: Vec<_> = verdict
            .judged
            .iter()
            .filter(|j| matches!(j.judgement, Judgement::RuledOut(_)))
            .collect();
        let open: Vec<_> =
            verdict.judged.iter().filter(|j| matches!(j.judgement, Judgement::Open)).collect();
        if !all {
            writeln!(out)?;
            let words = format!(
                "{} causes are ruled out by the text, {} stay open; --all shows them.",
                ruled_out.len(),
                open.len()
            );
            return self.wrapped("", "", &words, out);
        }
        heading("Ruled out", out)?;
        for j in ruled_out {
            let shown = j.evidence().first().map_or_else(String::new, |e| {
                format!(
                    ": line {}, {}",
                    self.source.line_of(e.span.start),
                    self.source.word(&e.says)
                )
            });
            self.wrapped("  - ", "    ", &format!("{}{shown}", j.rule.id), out)?;
        }
        heading("Open", out)?;
        for j in open {
            let by = if j.settled_by.is_empty() {
                String::new()
            } else {
                format!(" Settled by {}.", j.settled_by.join(", "))
            };
            self.wrapped("  - ", "    ", &format!("{}: {}{by}", j.rule.id, j.rule.asks), out)?;
        }
        Ok(())
    }
}

fn capital(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |c| c.to_uppercase().chain(chars).collect())
}
