//! The explanation as HTML: one self-contained file for screen, dark screen and paper, and the parts of it for a page
//! around.
//!
//! The evidence is marked in the text itself; a mark leads to its statement, a statement to its mark. There is no code
//! in it, and nothing is loaded from anywhere.

use super::asking::{self, Parts};
use super::explained::Explanation;
use super::marks::{self, Mark, Piece};
use super::unread;
use crate::rules::{Acts, Judgement};
use crate::sanitize::plain;
use crate::verdict::returns::Decision;
use crate::verdict::{Finding, TeamLine};
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
            body { main { (body(explanation)) } }
        }
    };
    out.write_str(&page.into_string())?;
    out.write_char('\n')
}

/// The explanation without the page around it.
pub fn body(explanation: &Explanation<'_>) -> Markup {
    let Explanation { source, returning, .. } = explanation;
    let verdict = explanation.verdict();
    let marks = marks::of(explanation);
    html! {
        h1 { (source.word(&verdict.summary)) }
        (facts(explanation))
        @if !explanation.evidence().is_empty() {
            h2 { "What shows it" }
            ul { @for mark in marks.iter().filter(|m| m.class == "cause") { (statement(explanation, mark)) } }
        }
        (consequences(explanation))
        (actions(explanation))
        (team(&verdict.team))
        (questions(explanation))
        @if !verdict.remarks.is_empty() {
            h2 { "Worth knowing" }
            ul {
                @for remark in &verdict.remarks {
                    li {
                        (source.word(&remark.text))
                        @for e in &remark.evidence { " " (line_link(source.line_of(e.span.start))) }
                    }
                }
            }
        }
        (not_understood(explanation))
        @if let Some(decision) = returning { (before_return(explanation, decision)) }
        (judgements(explanation))
        h2 { "The text" }
        (pasted(explanation, &marks))
    }
}

fn facts(explanation: &Explanation<'_>) -> Markup {
    let verdict = explanation.verdict();
    let fault = matches!(verdict.finding, Finding::Fault(_));
    html! {
        dl class="facts" {
            dt { "Finding" } dd { code { (verdict.id()) } }
            @if !matches!(verdict.finding, Finding::Unclear) {
                dt { "Certainty" } dd { (verdict.certainty.word()) }
            }
            @if fault { dt { "Can act" } dd { (verdict.acts.words()) } }
            dt { "State" } dd { (explanation.source.word(&verdict.state)) }
        }
    }
}

fn line_link(line: usize) -> Markup {
    html! { a href={ "#L" (line) } { "line " (line) } }
}

fn statement(explanation: &Explanation<'_>, mark: &Mark<'_>) -> Markup {
    let line = explanation.source.line_of(mark.span.start);
    html! {
        li id={ "s" (mark.number) } {
            a href={ "#m" (mark.number) } { "line " (line) } ": " (explanation.source.word(mark.says))
        }
    }
}

fn consequences(explanation: &Explanation<'_>) -> Markup {
    let verdict = explanation.verdict();
    let root = verdict.root().map(|j| j.rule.id);
    let others =
        verdict.judged.iter().filter(|j| j.certainty().is_some() && Some(j.rule.id) != root);
    let (follow, beside): (Vec<_>, Vec<_>) =
        others.partition(|j| j.because_of.is_some() && root.is_some());
    let connected = matches!(verdict.finding, Finding::Connected { .. });
    html! {
        @if !follow.is_empty() {
            h2 { "What follows from it" }
            ul { @for j in follow { li { (explanation.source.word(j.summary())) } } }
        }
        @if !beside.is_empty() && !connected {
            h2 { @if root.is_some() { "What else was found" } @else { "What would fit, and is not proved" } }
            ul {
                @for j in beside {
                    li { (explanation.source.word(j.summary())) " (" (j.certainty().map_or("", crate::rules::Certainty::word)) ")" }
                }
            }
        }
    }
}

fn commands<'c>(commands: impl IntoIterator<Item = &'c str>) -> Markup {
    let lines: Vec<_> = commands.into_iter().map(|c| plain(c)).collect();
    html! { pre class="block" { code { (lines.join("\n")) } } }
}

fn actions(explanation: &Explanation<'_>) -> Markup {
    let verdict = explanation.verdict();
    if verdict.root().is_none() {
        return html! {};
    }
    html! {
        h2 { "What to do" }
        ol {
            @for action in &verdict.remedies {
                li {
                    @if action.by != Acts::Nobody { b { (action.by.words()) ": " } }
                    (action.text)
                    @if !action.commands.is_empty() { (commands(action.commands.iter().copied())) }
                    @if action.changes { p class="faint" { "Changes a setting." } }
                    @if let Some(caution) = action.caution { p class="caution" { b { "Caution: " } (caution) } }
                }
            }
        }
    }
}

fn team(lines: &[TeamLine]) -> Markup {
    html! {
        @if !lines.is_empty() {
            h2 { "From your team" }
            ul { @for line in lines { li { (team_line(line)) } } }
        }
    }
}

fn team_line(line: &TeamLine) -> Markup {
    match line {
        TeamLine::Note(note) => html! { (plain(note)) },
        TeamLine::Contact(role, contact) => html! { "Call " (role.words()) ": " (plain(contact)) },
        TeamLine::Experience(sentence) => html! { (super::team::experience(sentence)) },
        TeamLine::Step(step) => html! {
            (plain(&step.text))
            @if !step.commands.is_empty() { (commands(step.commands.iter().map(String::as_str))) }
            @if step.changes { p class="faint" { "Changes a setting." } }
            @if let Some(caution) = &step.caution { p class="caution" { b { "Caution: " } (plain(caution)) } }
        },
    }
}

fn questions(explanation: &Explanation<'_>) -> Markup {
    let asks = &explanation.verdict().ask_next;
    let Parts { block, shows, questions, further } = Parts::of(asks);
    html! {
        @if !asks.is_empty() {
            h2 { "What to ask next" }
            @if !block.is_empty() {
                p { "Paste this block as it is. " (asking::block_note(&block)) }
                (commands(block.iter().copied()))
                p { "It shows" }
                ul { @for why in shows { li { (why) } } }
            }
            @for question in questions { p { (question) } }
            @if !further.is_empty() {
                details {
                    summary { "If that is not enough" }
                    ul {
                        @for ask in further {
                            li {
                                @if let Some(question) = ask.question { (question) }
                                @else { code { (ask.commands.join(", ")) } ": " (ask.why) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn not_understood(explanation: &Explanation<'_>) -> Markup {
    let all = unread::all(explanation);
    let more = unread::more(explanation);
    html! {
        @if !all.is_empty() {
            details {
                summary { "Not understood: " (all.len() + more) }
                ul {
                    @for unread in all {
                        @let extract = explanation.source.extract(unread.span);
                        li {
                            (line_link(extract.place.line)) ": " code { (extract.marked()) } " (" (unread::reason(unread)) ")"
                        }
                    }
                }
            }
        }
    }
}

fn before_return(explanation: &Explanation<'_>, decision: &Decision) -> Markup {
    html! {
        h2 { "Before it is sent back" }
        ol {
            @for check in &decision.checks {
                li {
                    (check.what) ": " b { (check.state.word()) } ". " (check.how)
                    @if let Some(caution) = check.caution { p class="caution" { b { "Caution: " } (caution) } }
                }
            }
        }
        p { (explanation.source.word(&decision.sentence)) }
        p { "For the maker's desk: " (explanation.source.word(&decision.for_the_maker)) }
    }
}

/// What is ruled out and what is open, folded away.
fn judgements(explanation: &Explanation<'_>) -> Markup {
    let judged = &explanation.verdict().judged;
    let ruled_out: Vec<_> =
        judged.iter().filter(|j| matches!(j.judgement, Judgement::RuledOut(_))).collect();
    let open: Vec<_> = judged.iter().filter(|j| matches!(j.judgement, Judgement::Open)).collect();
    html! {
        details {
            summary { "Ruled out: " (ruled_out.len()) }
            ul {
                @for j in ruled_out {
                    li {
                        code { (j.rule.id) }
                        @for e in j.evidence() {
                            ": " (explanation.source.word(&e.says)) " (" (line_link(explanation.source.line_of(e.span.start))) ")"
                        }
                    }
                }
            }
        }
        details {
            summary { "Open: " (open.len()) }
            ul {
                @for j in open {
                    li {
                        code { (j.rule.id) } ": " (j.rule.asks)
                        @if !j.settled_by.is_empty() { " Settled by " (j.settled_by.join(", ")) "." }
                    }
                }
            }
        }
    }
}

fn pasted(explanation: &Explanation<'_>, marks: &[Mark<'_>]) -> Markup {
    html! {
        div class="pasted" tabindex="0" role="region" aria-label="The text with the evidence marked" {
            @for line in marks::lines(explanation, marks) {
                @match line {
                    marks::Line::LeftOut(count) => div class="left-out" { (count) " lines left out" },
                    marks::Line::Shown { number, pieces } => div class="line" id={ "L" (number) } {
                        span class="number" { (number) }
                        code {
                            @for piece in pieces {
                                @match piece {
                                    Piece::Plain(text) => (plain(text)),
                                    Piece::Marked(text, mark, first) => (marked(text, mark, first)),
                                }
                            }
                        }
                    },
                }
            }
        }
    }
}

/// A part of the text behind a mark; only the first part of a mark over several lines is where a link leads to.
fn marked(text: &str, mark: &Mark<'_>, first: bool) -> Markup {
    let name = first.then(|| format!("m{}", mark.number));
    html! {
        @if mark.class == "cause" {
            a id=[name] class=(mark.class) href={ "#s" (mark.number) } title=(plain(mark.says)) { (plain(text)) }
        } @else {
            span id=[name] class=(mark.class) title=(plain(mark.says)) { (plain(text)) }
        }
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
