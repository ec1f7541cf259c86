//! The explanation as HTML: one self-contained file for screen, dark screen and paper, and the parts of it for a page
//! around.
//!
//! The evidence is marked in the text itself; a mark leads to its statement, a statement to its mark. There is no code
//! in it, and nothing is loaded from anywhere.

mod differential;
mod levels;
mod links;
mod steps;
mod text;

pub use links::Links;

use super::explained::Explanation;
use super::marks::{self, Mark};
use crate::rules::{Certainty, Judgement};
use crate::verdict::{Finding, Judged, Kind};
use maud::{DOCTYPE, Markup, PreEscaped, html};
use std::fmt::{self, Write};

/// The style of the page.
pub const STYLE: &str = include_str!("page.css");

/// Writes the explanation as one file.
///
/// # Errors
///
/// Only when `out` itself fails.
pub fn html(explanation: &Explanation<'_>, out: &mut impl Write) -> fmt::Result {
    let title = explanation.source.word(&explanation.verdict().summary);
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width,initial-scale=1";
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'";
                meta name="color-scheme" content="light dark";
                meta name="referrer" content="no-referrer";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body { main { (Sheet::of(explanation, Links::None).body()) } }
        }
    };
    out.write_str(&page.into_string())?;
    out.write_char('\n')
}

/// An explanation laid out: what it is, beside the text with its marks.
#[derive(Debug)]
pub struct Sheet<'e, 't> {
    explanation: &'e Explanation<'t>,
    marks: Vec<Mark<'e>>,
    links: Links,
    progress: bool,
}

impl<'e, 't> Sheet<'e, 't> {
    /// Lays out an explanation.
    pub fn of(explanation: &'e Explanation<'t>, links: Links) -> Self {
        Self { explanation, marks: marks::of(explanation), links, progress: true }
    }

    /// The same without the remark on what the last text settled, for a page that says it in another place.
    #[must_use]
    pub fn without_progress(mut self) -> Self {
        self.progress = false;
        self
    }

    /// Everything: the verdict, and the text beside it.
    pub fn body(&self) -> Markup {
        html! {
            div class="answer" {
                section class="verdict" { (self.headline()) (self.details()) }
                section class="given" { h2 { "The text" } (self.text()) }
            }
        }
    }

    /// What it is, how sure, who can act.
    pub fn headline(&self) -> Markup {
        let verdict = self.explanation.verdict();
        let (kind, word) = match verdict.finding {
            Finding::Fault(_) => ("fault", "Fault"),
            Finding::Connected { .. } => ("connected", "Connected"),
            Finding::Unclear => ("unclear", "Not enough to tell"),
        };
        html! {
            header class={ "headline " (kind) } {
                p class="kind" {
                    (word)
                    @if kind != "unclear" { " · " (sureness(verdict.certainty)) }
                }
                h1 { (self.explanation.source.word(&verdict.summary)) }
                dl class="facts" {
                    @if kind == "fault" { dt { "Who can act" } dd { b { (verdict.acts.words()) } } }
                    dt { "State" } dd { (self.word(&verdict.state)) }
                    dt { "Finding" } dd { (self.links.finding(verdict.id())) }
                }
            }
        }
    }

    /// What shows it, what to do, what to ask, and everything else.
    pub fn details(&self) -> Markup {
        html! {
            (self.evidence())
            (self.actions())
            (self.team())
            (self.questions())
            (self.consequences())
            (self.remarks())
            (self.levels())
            (self.before_return())
            (self.judgements())
            (self.not_understood())
        }
    }

    fn word(&self, text: &str) -> Markup {
        self.links.sentence(&self.explanation.source.word(text))
    }

    fn line(&self, at: usize) -> Markup {
        let source = &self.explanation.source;
        let (anchor, number) = (source.anchor_of(at), source.line_of(at));
        html! { a href={ "#L" (anchor) } { (self.part(at)) "line " (number) } }
    }

    /// The name of the text, where there are several.
    fn part(&self, at: usize) -> Markup {
        html! { @if let Some(part) = self.explanation.source.part_of(at) { (part) ", " } }
    }

    /// A statement, and the way to the part of the text that says it.
    fn statement(&self, mark: &Mark<'_>) -> Markup {
        let line = self.explanation.source.line_of(mark.span.start);
        html! {
            li id={ "s" (mark.number) } {
                a class="at" href={ "#m" (mark.number) } { (self.part(mark.span.start)) "line " (line) }
                " " (self.word(mark.says))
            }
        }
    }

    fn evidence(&self) -> Markup {
        html! {
            @if !self.explanation.evidence().is_empty() {
                h2 { "What shows it" }
                ul class="shows" { @for mark in self.of_class("cause") { (self.statement(mark)) } }
            }
        }
    }

    fn of_class(&self, class: &'static str) -> impl Iterator<Item = &Mark<'e>> {
        self.marks.iter().filter(move |m| m.class == class)
    }

    /// The findings beside the root: those that follow from it, and the others.
    fn beside(&self) -> (Vec<&'e Judged>, Vec<&'e Judged>) {
        let verdict = self.explanation.verdict();
        let root = verdict.root().map(|j| j.rule.id);
        let holds = |j: &&Judged| j.certainty().is_some() && Some(j.rule.id) != root;
        let others = verdict.judged.iter().filter(holds);
        let (follow, beside): (Vec<_>, Vec<_>) =
            others.partition(|j| j.because_of.is_some() && root.is_some());
        let connected = matches!(verdict.finding, Finding::Connected { .. });
        (follow, if connected { Vec::new() } else { beside })
    }

    fn consequences(&self) -> Markup {
        let (follow, beside) = self.beside();
        let rooted = self.explanation.verdict().root().is_some();
        html! {
            @if !follow.is_empty() {
                h2 { "What follows from it" }
                ul { @for j in follow { li { (self.word(j.summary())) (self.marks_of(j)) } } }
            }
            @if !beside.is_empty() {
                h2 { @if rooted { "What else was found" } @else { "What would fit, and is not proved" } }
                ul {
                    @for j in beside {
                        li { (self.word(j.summary())) " (" (j.certainty().map_or("", Certainty::word)) ")" (self.marks_of(j)) }
                    }
                }
            }
        }
    }

    /// The lines behind a finding beside the root; each mark leads back to here.
    fn marks_of(&self, judged: &Judged) -> Markup {
        let own = self.of_class("also").filter(|m| m.rule == Some(judged.rule.id));
        html! {
            @for mark in own {
                " " a class="at" id={ "s" (mark.number) } href={ "#m" (mark.number) } {
                    (self.part(mark.span.start)) "line " (self.explanation.source.line_of(mark.span.start))
                }
            }
        }
    }

    /// Whether a statement stands on the sheet that a mark can lead to.
    fn is_stated(&self, mark: &Mark<'_>) -> bool {
        let (follow, beside) = self.beside();
        mark.class != "also" || follow.iter().chain(&beside).any(|j| Some(j.rule.id) == mark.rule)
    }

    fn remarks(&self) -> Markup {
        let all = self.explanation.verdict().remarks.iter();
        let remarks: Vec<_> = all.filter(|r| self.progress || r.kind != Kind::Progress).collect();
        html! {
            @if !remarks.is_empty() {
                h2 { "Worth knowing" }
                ul {
                    @for remark in remarks {
                        li {
                            (self.word(&remark.text))
                            @for e in &remark.evidence { " " (self.line(e.span.start)) }
                        }
                    }
                }
            }
        }
    }

    fn judged(&self, wanted: impl Fn(&Judgement) -> bool) -> Vec<&'e Judged> {
        let judged = self.explanation.verdict().judged.iter();
        judged.filter(|j| wanted(&j.judgement)).collect()
    }
}

/// How sure, as a word beside three steps.
fn sureness(certainty: Certainty) -> Markup {
    let steps = match certainty {
        Certainty::Possible => 1,
        Certainty::Likely => 2,
        Certainty::Certain => 3,
    };
    html! {
        span class="steps" aria-hidden="true" {
            @for n in 1..=3 { span class=[(n <= steps).then_some("full")] {} }
        }
        " " (certainty.word())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::carrier::ProfileStore;
    use crate::explanation::{Basis, View};

    fn page(text: &str) -> String {
        let profiles = ProfileStore::default();
        let basis = Basis { tried: Some(&[]), ..Basis::of(&profiles) };
        let explanation = Explanation::of(text, Vec::new(), &basis, View::default()).unwrap();
        let mut out = String::new();
        html(&explanation, &mut out).unwrap();
        out
    }

    #[test]
    fn evidence_is_marked_in_the_text_and_leads_to_its_statement() {
        let page = page("hello\nAT+CPIN?\n+CPIN: SIM PIN\nOK\n");
        assert!(page.contains("<h1>The SIM waits for its PIN.</h1>"), "{page}");
        assert!(
            page.contains("id=\"L3\"")
                && page.contains("href=\"#m0\"")
                && page.contains("id=\"s0\""),
            "{page}"
        );
        assert!(page.contains("id=\"m0\" class=\"cause\" href=\"#s0\""), "{page}");
    }

    /// Held against a general parser: the elements of a hostile text's page are those of a harmless one's.
    #[test]
    fn a_hostile_text_changes_nothing_but_the_text() {
        let hostile = "</code></div><script>alert(1)</script><img src=x onerror=alert(1)>\u{1b}[2J\u{202e}\" onclick=\"x";
        let shape = |text: &str| -> Vec<String> {
            let page = page(&format!("AT+CPIN?\n+CPIN: SIM PIN\nOK\n{text}\n"));
            assert!(!page.contains(['\u{1b}', '\u{202e}']), "{page}");
            page.split('<')
                .skip(1)
                .filter_map(|t| t.split(['>', ' ']).next())
                .map(str::to_owned)
                .collect()
        };
        assert_eq!(shape(hostile), shape("harmless"));
    }

    #[test]
    fn a_page_loads_nothing_and_holds_no_code() {
        let page = page("AT+CIMI\n001010123456789\nOK\nAT+CEREG?\n+CEREG: 0,3\nOK\n");
        for word in ["http://", "https://", "<script", "src=", "@import", "url(", "001010123456789"]
        {
            assert!(!page.contains(word), "{word}");
        }
    }
}
