//! The pages: the box to paste into, the explanation, what can be copied and saved, look-ups, the rules.

use super::carry::{back, carried};
use super::desktop::Desktop;
use super::guard::Guard;
use crate::explanation::{self, Basis, Explanation, Part, View};
use crate::sanitize::plain;
use crate::{lookup, redact, rules};
use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, Query, State};
use axum::http::{StatusCode, header};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Router, body::Bytes};
use maud::{DOCTYPE, Markup, html};
use std::sync::Arc;

/// What is said to a text that is too large.
pub(super) const TOO_LARGE: &str =
    "This text is larger than 16 MiB. Cut out the part with the modem's answers.";

/// What every page needs.
#[derive(Clone)]
struct Needs {
    guard: Arc<Guard>,
    desktop: Arc<Desktop>,
}

/// The pages and their addresses.
pub(super) fn routes(guard: &Arc<Guard>, desktop: Desktop) -> Router {
    let needs = Needs { guard: guard.clone(), desktop: Arc::new(desktop) };
    Router::new()
        .route("/", get(begin))
        .route("/explain", post(explain))
        .route("/lookup", get(look_up))
        .route("/rules", get(rule_list))
        .route("/rules/{layer}/{cause}", get(rule_page))
        .route("/style.css", get(style))
        .fallback(async || (StatusCode::NOT_FOUND, notice("There is no such page.")))
        .with_state(needs)
}

async fn style() -> impl IntoResponse {
    let style = Bytes::from_static(explanation::html::STYLE.as_bytes());
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], style)
}

/// A page with one sentence.
pub(super) fn notice(sentence: &str) -> Html<String> {
    page(
        "Support desk",
        &html! { h1 { "Support desk" } p { (sentence) } p { a href="/" { "Back to the first page" } } },
    )
}

fn page(title: &str, body: &Markup) -> Html<String> {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width,initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (plain(title)) }
                link rel="stylesheet" href="/style.css";
            }
            body {
                nav aria-label="Pages" {
                    a href="/" { "Explain" }
                    a href="/rules" { "Rules" }
                    form action="/lookup" method="get" {
                        label { "Look up " input name="q" type="search" placeholder="band 20, emm 15, csq 17"; }
                        " " button { "Look up" }
                    }
                }
                main { (body) }
            }
        }
    };
    Html(page.into_string())
}

/// What the box sends.
#[derive(serde::Deserialize)]
struct Pasted {
    token: String,
    /// The text as it was pasted.
    #[serde(default)]
    text: String,
    /// The text as an earlier page carries it.
    #[serde(default)]
    carried: String,
    /// The customer's answer to the first text.
    #[serde(default)]
    answer: String,
    /// What is wanted: nothing for the page, or a format.
    #[serde(default)]
    form: String,
}

async fn begin(State(needs): State<Needs>) -> Html<String> {
    let body = html! {
        h1 { "What did the modem say?" }
        form action="/explain" method="post" {
            input type="hidden" name="token" value=(needs.guard.token);
            p {
                label for="text" { "Paste the text as it arrived: a terminal, a log, a mail." }
                textarea id="text" name="text" required autofocus spellcheck="false" autocomplete="off" {}
            }
            button { "Explain" }
        }
        p class="faint" { "The text stays on this computer, and nothing is kept." }
    };
    page("Support desk", &body)
}

async fn explain(
    State(needs): State<Needs>,
    pasted: Result<Form<Pasted>, FormRejection>,
) -> Response {
    let pasted = match pasted {
        Ok(Form(pasted)) => pasted,
        Err(error) if error.status() == StatusCode::PAYLOAD_TOO_LARGE => {
            return (StatusCode::PAYLOAD_TOO_LARGE, notice(TOO_LARGE)).into_response();
        }
        Err(error) => {
            return (error.status(), notice("This form was not sent as a whole.")).into_response();
        }
    };
    if !needs.guard.is_token(&pasted.token) {
        let words = "This form is from an earlier start of the desk. Paste the text again.";
        return (StatusCode::FORBIDDEN, notice(words)).into_response();
    }
    // A long text takes its time; others are served meanwhile.
    if let Ok(response) = tokio::task::spawn_blocking(move || answered(&needs, &pasted)).await {
        response
    } else {
        let words = "This text could not be explained. Please report it, without the text.";
        (StatusCode::INTERNAL_SERVER_ERROR, notice(words)).into_response()
    }
}

/// The texts as one, and where each begins.
fn joined(pasted: &Pasted) -> (String, Vec<Part>) {
    let first = if pasted.carried.is_empty() { pasted.text.clone() } else { back(&pasted.carried) };
    let mut whole = first.replace("\r\n", "\n");
    let mut parts = vec![Part { name: "first text".into(), lines_before: 0, starts_at: 0 }];
    if !pasted.answer.trim().is_empty() {
        if !whole.ends_with('\n') {
            whole.push('\n');
        }
        let lines_before = whole.matches('\n').count();
        parts.push(Part { name: "answer".into(), lines_before, starts_at: whole.len() });
        whole.push_str(&pasted.answer.replace("\r\n", "\n"));
    }
    (whole, parts)
}

fn answered(needs: &Needs, pasted: &Pasted) -> Response {
    let (text, parts) = joined(pasted);
    if text.trim().is_empty() {
        return (StatusCode::BAD_REQUEST, notice("The text is empty.")).into_response();
    }
    let Desktop { profiles, team } = &*needs.desktop;
    let basis = Basis { team: Some(team), ..Basis::of(profiles) };
    let explanation = match Explanation::of(&text, parts, &basis, View::default()) {
        Ok(explanation) => explanation,
        Err(error) => return (StatusCode::BAD_REQUEST, notice(&error.to_string())).into_response(),
    };
    let mut out = String::new();
    let (kind, name, written) = match pasted.form.as_str() {
        "html" => ("text/html", "explanation.html", explanation::html(&explanation, &mut out)),
        "markdown" => ("text/plain", "ticket.md", explanation::markdown(&explanation, &mut out)),
        "message" => ("text/plain", "message.txt", explanation::message(&explanation, &mut out)),
        "redacted" => {
            out = redact::redact(&text);
            ("text/plain", "redacted.txt", Ok(()))
        }
        _ => return page("Explanation", &explained(needs, &text, &explanation)).into_response(),
    };
    if written.is_err() {
        let words = "The explanation could not be written.";
        return (StatusCode::INTERNAL_SERVER_ERROR, notice(words)).into_response();
    }
    let headers = [
        (header::CONTENT_TYPE, format!("{kind}; charset=utf-8")),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
    ];
    (headers, out).into_response()
}

fn explained(needs: &Needs, text: &str, explanation: &Explanation<'_>) -> Markup {
    let hidden = |name: &str, value: &str| html! { input type="hidden" name=(name) value=(value); };
    let mut message = String::new();
    // Writing to a string cannot fail.
    let _ = explanation::message(explanation, &mut message);
    let id = explanation.verdict().id();
    html! {
        (explanation::html::body(explanation))
        @if rules::find(id).is_some() {
            p { a href={ "/rules/" (id) } { "What is looked for, and how" } }
        }
        h2 { "Message to the customer" }
        pre class="block" { code { (message) } }
        h2 { "Save" }
        form class="row" action="/explain" method="post" {
            (hidden("token", &needs.guard.token))
            (hidden("carried", &carried(text)))
            button name="form" value="html" { "Explanation as a page" }
            button name="form" value="markdown" { "Ticket (Markdown)" }
            button name="form" value="message" { "Message" }
            button name="form" value="redacted" { "Redacted text" }
        }
        h2 { "Answer of the customer" }
        form action="/explain" method="post" {
            (hidden("token", &needs.guard.token))
            (hidden("carried", &carried(text)))
            p {
                label for="answer" { "Paste what came back; it settles what the text left open." }
                textarea id="answer" name="answer" required spellcheck="false" autocomplete="off" {}
            }
            button { "Explain both" }
        }
    }
}

#[derive(serde::Deserialize)]
struct Question {
    #[serde(default)]
    q: String,
}

async fn look_up(Query(Question { q }): Query<Question>) -> Html<String> {
    let found = if q.trim().is_empty() { None } else { Some(lookup::guess(q.trim())) };
    let body = html! {
        h1 { "Look up" }
        @match found {
            None => p { "Type a band, a channel, a cause, an error, a level or an identity into the box above." },
            Some(Ok(answers)) => @for answer in answers { pre class="block" { code { (page_text(&answer.text(100))) } } },
            Some(Err(problem)) => p { (plain(&problem.to_string())) },
        }
    };
    page("Look up", &body)
}

/// Several lines, each of them safe to show.
fn page_text(text: &str) -> String {
    text.lines().map(plain).collect::<Vec<_>>().join("\n")
}

async fn rule_list() -> Html<String> {
    let body = html! {
        h1 { "What is looked for" }
        ul {
            @for rule in rules::all() {
                li { a href={ "/rules/" (rule.id) } { (rule.id) } ": " (rule.asks) }
            }
        }
    };
    page("Rules", &body)
}

async fn rule_page(Path((layer, cause)): Path<(String, String)>) -> Response {
    let Some(rule) = rules::find(&format!("{layer}/{cause}")) else {
        return (StatusCode::NOT_FOUND, notice("There is no such rule.")).into_response();
    };
    let body = html! {
        p class="faint" { (rule.id) " · " (rule.clause) }
        pre class="block" { code { (page_text(rule.page)) } }
    };
    page(rule.asks, &body).into_response()
}
