//! The pages and their addresses: the box to paste into, its answer, and what is saved from it.

use super::desktop::Desktop;
use super::form::{Pasted, joined};
use super::frame::notice;
use super::guard::Guard;
use super::needs::{Needs, apart, explanation_of, sent};
use super::result::{hidden, result};
use super::{look, tickets};
use crate::explanation;
use crate::redact;
use crate::ticket::Ticket;
use axum::Router;
use axum::extract::rejection::FormRejection;
use axum::extract::{Form, State};
use axum::http::{StatusCode, header};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::{get, post};
use maud::html;
use std::sync::Arc;

/// The pages and their addresses.
pub(super) fn routes(guard: &Arc<Guard>, desktop: Desktop) -> Router {
    let needs = Needs { guard: guard.clone(), desktop: Arc::new(desktop) };
    Router::new()
        .route("/", get(begin))
        .route("/explain", post(explain))
        .route("/tickets", get(tickets::list).post(tickets::keep))
        .route("/tickets/{name}", get(tickets::show).post(tickets::add))
        .route("/tickets/{name}/close", post(tickets::close))
        .route("/lookup", get(look::look_up))
        .route("/rules", get(look::rule_list))
        .route("/rules/{layer}/{cause}", get(look::rule_page))
        .route("/style.css", get(style))
        .route("/desk.js", get(script))
        .route("/favicon.ico", get(async || StatusCode::NO_CONTENT))
        .fallback(async || (StatusCode::NOT_FOUND, notice("There is no such page.")))
        .with_state(needs)
}

async fn style() -> impl IntoResponse {
    let style = concat!(include_str!("../explanation/html/page.css"), include_str!("desk.css"));
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], style)
}

async fn script() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8")], include_str!("desk.js"))
}

async fn begin(State(needs): State<Needs>) -> Html<String> {
    let body = html! {
        div id="begin" {
            h1 { "What did the modem say?" }
            form id="paste" class="live" action="/explain" method="post" {
                (hidden("token", &needs.guard.token))
                label for="text" { "Paste the text as it arrived: a terminal, a log, a mail." }
                textarea id="text" name="text" required autofocus spellcheck="false" autocomplete="off" {}
                p class="row" {
                    button { "Explain" }
                    span class="with-code" hidden {
                        label for="files" { "or take files" }
                        input id="files" type="file" multiple;
                        span class="faint" { "or drop them onto the page" }
                    }
                }
            }
            p class="faint" {
                "The text stays on this computer"
                @if needs.desktop.tickets.is_some() { ". Nothing is kept until you put it into a ticket." }
                @else { ", and nothing is kept." }
            }
        }
        div id="result" {}
    };
    needs.frame().page("Explain", &body)
}

async fn explain(
    State(needs): State<Needs>,
    pasted: Result<Form<Pasted>, FormRejection>,
) -> Response {
    match sent(&needs, pasted) {
        Ok(pasted) => apart(move || answered(&needs, &pasted)).await,
        Err(refusal) => *refusal,
    }
}

fn answered(needs: &Needs, pasted: &Pasted) -> Response {
    let texts = pasted.texts();
    let (text, parts) = joined(&texts);
    if text.is_empty() {
        return (StatusCode::BAD_REQUEST, notice("The text is empty.")).into_response();
    }
    let basis = needs.basis();
    let explanation = match explanation_of(needs, &text, parts.clone(), &basis) {
        Ok(explanation) => explanation,
        Err(refusal) => return *refusal,
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
        _ => {
            // No carrier is named, so that no profile can be unknown.
            let progress =
                Ticket::progress(&explanation, &text, &parts, &basis).unwrap_or_default();
            let result = result(needs, &texts, &explanation, progress.as_ref());
            let again = html! { p { a href="/" { "Explain another text" } } };
            let body = html! { div id="result" { (result) } (again) };
            return needs.frame().page("Explanation", &body).into_response();
        }
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
