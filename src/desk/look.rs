//! The look-up page and the pages of the rules.

use super::frame::notice;
use super::needs::Needs;
use crate::lookup::{self, Answer};
use crate::rules::{self, Layer};
use crate::sanitize::plain;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};
use maud::{Markup, PreEscaped, html};
use pulldown_cmark::{CodeBlockKind, Event, Parser, Tag};

#[derive(serde::Deserialize)]
pub(super) struct Question {
    #[serde(default)]
    q: String,
}

/// Answers a question as the look-up of the command line does.
pub(super) async fn look_up(
    State(needs): State<Needs>,
    Query(Question { q }): Query<Question>,
) -> Html<String> {
    let asked = q.trim();
    let found = if asked.is_empty() { None } else { Some(lookup::guess(asked)) };
    let body = html! {
        h1 { "Look up" }
        @match found {
            None => p { "Type a band, a channel, a cause, an error, a level, an identity or plain words into the box above." },
            Some(Ok(answers)) => @for answer in answers { (entry(&answer)) },
            Some(Err(problem)) => {
                p { (plain(&problem.to_string())) }
                @if let Some(nearest) = problem.nearest { p { "The nearest that has an answer: " code { (plain(&nearest)) } } }
            },
        }
    };
    needs.frame().page_asking("Look up", asked, &body)
}

fn entry(answer: &Answer) -> Markup {
    html! {
        section class="entry" {
            h2 { (plain(&answer.title)) }
            dl class="facts" {
                @for (label, text) in answer.lines() { dt { (plain(label)) } dd { (plain(text)) } }
            }
            @if !answer.drawn().is_empty() {
                @let drawn: Vec<_> = answer.drawn().iter().map(|line| plain(line)).collect();
                pre class="drawn" tabindex="0" { (drawn.join("\n")) }
            }
        }
    }
}

/// Every rule by its layer.
pub(super) async fn rule_list(State(needs): State<Needs>) -> Html<String> {
    let body = html! {
        h1 { "What is looked for" }
        p { "One rule a cause, from the port up to the path of the data." }
        @for layer in Layer::ALL {
            h2 { (layer.word()) }
            ul {
                @for rule in rules::all().filter(|r| r.layer() == layer) {
                    li { a href={ "/rules/" (rule.id) } { (rule.asks) } " " code { (rule.id) } }
                }
            }
        }
    };
    needs.frame().page("Rules", &body)
}

/// The page of a rule.
pub(super) async fn rule_page(
    State(needs): State<Needs>,
    Path((layer, cause)): Path<(String, String)>,
) -> Response {
    let Some(rule) = rules::find(&format!("{layer}/{cause}")) else {
        return (StatusCode::NOT_FOUND, notice("There is no such rule.")).into_response();
    };
    let body = html! {
        article class="rule" { (from_markdown(rule.page)) }
        p class="faint" { code { (rule.id) } " · " (rule.clause) }
    };
    needs.frame().page(rule.asks, &body).into_response()
}

/// A page in Markdown as HTML; the labels of its examples stand above them, markup inside of it is text.
fn from_markdown(page: &str) -> Markup {
    let events = Parser::new(page).flat_map(|event| match event {
        Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(label))) => {
            let words = match &*label {
                "holds" => "An example in which it holds",
                "ruled-out" => "An example in which it is ruled out",
                "open" => "An example that leaves it open",
                other => other,
            };
            let caption = html! { p class="label" { (words) } }.into_string();
            let block = Event::Start(Tag::CodeBlock(CodeBlockKind::Indented));
            vec![Event::Html(caption.into()), block]
        }
        Event::Html(markup) | Event::InlineHtml(markup) => vec![Event::Text(markup)],
        other => vec![other],
    });
    let mut out = String::new();
    pulldown_cmark::html::push_html(&mut out, events);
    PreEscaped(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_of_a_rule_is_html_and_markup_in_it_stays_text() {
        let out = from_markdown("# A?\n\nSee <script>x</script> `+CPIN`\n\n```holds\nAT<b>\n```\n");
        let out = out.into_string();
        assert!(out.contains("<h1>A?</h1>") && out.contains("<code>+CPIN</code>"), "{out}");
        assert!(out.contains("An example in which it holds</p>"), "{out}");
        assert!(!out.contains("<script>") && !out.contains("<b>"), "{out}");
    }

    #[test]
    fn every_rule_has_a_page_without_marks_of_markdown() {
        for rule in rules::all() {
            let out = from_markdown(rule.page).into_string();
            assert!(out.starts_with("<h1>") && !out.contains("```"), "{}: {out}", rule.id);
        }
    }
}
