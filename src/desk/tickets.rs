//! The tickets on the page: all of them, one with its history, a further text, the end.

use super::form::Pasted;
use super::frame::notice;
use super::needs::{Needs, apart, explanation_of, sent};
use super::result::{answer, hidden};
use crate::identity::mask;
use crate::rules::Acts;
use crate::sanitize::plain;
use crate::ticket::{self, Closing, Head, Step, Ticket, TicketError, Traits, is_name};
use axum::extract::rejection::FormRejection;
use axum::extract::{Form, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use chrono::Utc;
use maud::{Markup, html};
use std::path::PathBuf;

type Sent = Result<Form<Pasted>, FormRejection>;

fn refuse(status: StatusCode, words: &str) -> Response {
    (status, notice(words)).into_response()
}

fn failed(error: &TicketError) -> Response {
    let status = match error {
        TicketError::NoTicket(_) => StatusCode::NOT_FOUND,
        TicketError::Closed(_) => StatusCode::CONFLICT,
        _ => StatusCode::INTERNAL_SERVER_ERROR,
    };
    refuse(status, &error.to_string())
}

/// The folder of a ticket; nothing but a plain name leads to one.
fn folder(needs: &Needs, name: &str) -> Result<PathBuf, Box<Response>> {
    let Some(tickets) = &needs.desktop.tickets else {
        let words = "This desk was started without a folder for tickets.";
        return Err(Box::new(refuse(StatusCode::NOT_FOUND, words)));
    };
    if !is_name(name) {
        let words =
            "The number of a ticket has letters, digits, full stops, hyphens and underscores.";
        return Err(Box::new(refuse(StatusCode::BAD_REQUEST, words)));
    }
    Ok(tickets.join(name))
}

/// The open tickets by who must act, then the closed ones.
pub(super) async fn list(State(needs): State<Needs>) -> Response {
    apart(move || {
        let Some(folder) = &needs.desktop.tickets else {
            return refuse(StatusCode::NOT_FOUND, "This desk was started without a folder for tickets.");
        };
        let listing = match ticket::listing(folder) {
            Ok(listing) => listing.chosen(true, None),
            Err(error) => return failed(&error),
        };
        let open = |acts: &Acts| -> Vec<&Ticket> {
            let of = |t: &&Ticket| t.closing.is_none() && t.acts() == *acts;
            listing.tickets.iter().filter(of).collect()
        };
        let closed: Vec<_> = listing.tickets.iter().filter(|t| t.closing.is_some()).collect();
        let body = html! {
            h1 { "Tickets" }
            @if listing.tickets.is_empty() { p { "There is none yet. Explain a text, then keep it in a ticket." } }
            @for acts in Acts::ALL {
                @let of = open(acts);
                @if !of.is_empty() { h2 { "Can act: " (acts.words()) } (table(&of)) }
            }
            @if !closed.is_empty() { h2 { "Closed" } (table(&closed)) }
            @for sentence in &listing.damaged { p class="caution" { (plain(sentence)) } }
        };
        needs.frame().page("Tickets", &body).into_response()
    })
    .await
}

fn day(at: Option<chrono::DateTime<Utc>>) -> String {
    at.map_or_else(String::new, |at| at.format("%Y-%m-%d").to_string())
}

fn table(tickets: &[&Ticket]) -> Markup {
    html! {
        div class="wide" tabindex="0" role="region" aria-label="Tickets" {
            table {
                thead { tr { th scope="col" { "Number" } th scope="col" { "Site" } th scope="col" { "Opened" } th scope="col" { "What it is" } } }
                tbody {
                    @for ticket in tickets {
                        @let name = ticket.folder.file_name().unwrap_or_default().to_string_lossy();
                        tr {
                            td {
                                @if is_name(&name) { a href={ "/tickets/" (name) } { (plain(&ticket.name())) } }
                                @else { (plain(&ticket.name())) }
                            }
                            td { (plain(ticket.head.site.as_deref().unwrap_or(""))) }
                            td { (day(ticket.opened())) }
                            td {
                                @match (&ticket.closing, ticket.last_step()) {
                                    (Some(closing), _) => (plain(&closing.note)),
                                    (None, Some(step)) => (plain(&step.summary)),
                                    (None, None) => "not judged yet",
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// One ticket: its history, the verdict on all of its texts, the box for the next answer.
pub(super) async fn show(State(needs): State<Needs>, Path(name): Path<String>) -> Response {
    apart(move || {
        let folder = match folder(&needs, &name) {
            Ok(folder) => folder,
            Err(refusal) => return *refusal,
        };
        shown(&needs, &name, &folder).unwrap_or_else(|refusal| *refusal)
    })
    .await
}

fn shown(needs: &Needs, name: &str, folder: &std::path::Path) -> Result<Response, Box<Response>> {
    let fail = |error: TicketError| Box::new(failed(&error));
    let ticket = Ticket::open(folder).map_err(fail)?;
    let (text, parts) = ticket.joined(usize::MAX).map_err(fail)?;
    let mut basis = needs.basis();
    basis.carrier = ticket.carrier(basis.profiles);
    let explanation = explanation_of(needs, &text, parts.clone(), &basis)?;
    let progress = Ticket::progress(&explanation, &text, &parts, &basis).unwrap_or_default();
    let now = Step::of(&explanation, progress.as_ref(), Utc::now());
    let differs = ticket
        .last_step()
        .filter(|kept| (&kept.finding, kept.certainty) != (&now.finding, now.certainty));
    let body = html! {
        h1 { (plain(&ticket.name())) @if let Some(site) = &ticket.head.site { " · " (plain(site)) } }
        p class="faint" {
            "opened " (day(ticket.opened()))
            @if let Some(carrier) = &ticket.head.carrier { " · carrier " (plain(carrier)) }
        }
        @for note in &ticket.head.notes { p { "Note: " (plain(note)) } }
        @if let Some(closing) = &ticket.closing {
            p class="changed" { b { "Closed " (day(Some(closing.closed))) ": " } (plain(&closing.note)) }
        }
        @if let Some(kept) = differs {
            p class="caution" {
                "This version of the program sees it differently: it was " code { (plain(&kept.finding)) } ", it is now " code { (now.finding) } "."
            }
        }
        @if !text.is_empty() { (answer(&explanation, progress.as_ref())) }
        @if ticket.closing.is_none() { (forms(needs, name)) }
        (history(&ticket))
        (alike(needs, &ticket, &now))
    };
    Ok(needs.frame().page(&ticket.name(), &body).into_response())
}

fn forms(needs: &Needs, name: &str) -> Markup {
    let token = &needs.guard.token;
    html! {
        section class="follow" {
            h2 { "Answer of the customer" }
            form action={ "/tickets/" (name) } method="post" {
                (hidden("token", token))
                label for="answer" { "Paste what came back. It is kept as the next text of the ticket." }
                textarea id="answer" name="answer" required spellcheck="false" autocomplete="off" {}
                p class="row" {
                    button { "Keep and explain" }
                    label { input type="checkbox" name="original" value="yes"; " with identities, as it came" }
                }
            }
        }
        section class="keep" {
            h2 { "Close it" }
            form class="row" action={ "/tickets/" (name) "/close" } method="post" {
                (hidden("token", token))
                label for="note" { "What it was" }
                input id="note" name="text" required autocomplete="off";
                button { "Close" }
            }
        }
    }
}

fn history(ticket: &Ticket) -> Markup {
    html! {
        section class="history" {
            h2 { "History" }
            ol {
                @for text in &ticket.texts {
                    li {
                        @match &text.step {
                            None => { (plain(&text.name)) ", without a verdict" },
                            Some(step) => {
                                b { (plain(&step.summary)) } " "
                                span class="faint" { (step.judged.format("%Y-%m-%d %H:%M UTC")) ", " (plain(&text.name)) ", version " (plain(&step.program)) }
                                @for (label, list) in [("Answered", &step.answered), ("Still missing", &step.missing), ("Asked", &step.asked)] {
                                    @if !list.is_empty() { br; (label) ": " (plain(&list.join(", "))) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Tickets alike, and what ended them.
fn alike(needs: &Needs, own: &Ticket, now: &Step) -> Markup {
    let folder = needs.desktop.tickets.as_deref();
    let Some(Ok(listing)) = folder.map(ticket::listing) else { return html! {} };
    let others: Vec<_> = listing.tickets.into_iter().filter(|t| t.folder != own.folder).collect();
    let found = ticket::alike(&others, &Traits::of(now), false);
    html! {
        @if !found.is_empty() {
            section class="history" {
                h2 { "Tickets alike" }
                p class="faint" { "Experience of your team, no proof." }
                ul {
                    @for alike in found.iter().take(10) {
                        @let name = alike.ticket.folder.file_name().unwrap_or_default().to_string_lossy();
                        li {
                            @if is_name(&name) { a href={ "/tickets/" (name) } { (plain(&alike.ticket.name())) } }
                            @else { (plain(&alike.ticket.name())) }
                            " (" (plain(&alike.shared.join(", "))) "): "
                            @match &alike.ticket.closing {
                                Some(closing) => (plain(&closing.note)),
                                None => "open",
                            }
                        }
                    }
                }
            }
        }
    }
}

/// Adds texts and keeps their verdicts; leads to the ticket.
fn added(
    needs: &Needs,
    name: &str,
    pasted: &Pasted,
    may_create: bool,
) -> Result<Response, Box<Response>> {
    let fail = |error: TicketError| Box::new(failed(&error));
    let folder = folder(needs, name)?;
    let texts = pasted.texts();
    let original = !pasted.original.is_empty();
    if let Some(error) = texts.iter().find_map(|text| ticket::kept(text, original).err()) {
        return Err(Box::new(refuse(StatusCode::BAD_REQUEST, &error.to_string())));
    }
    let mut ticket = if may_create {
        let site = Some(mask(pasted.site.trim()).into_owned()).filter(|site| !site.is_empty());
        let head = Head { opened: Some(Utc::now()), site, ..Head::default() };
        Ticket::open_or_create(&folder, head).map_err(fail)?
    } else {
        Ticket::open(&folder).map_err(fail)?
    };
    for text in texts {
        if !ticket.add(&text, original).map_err(fail)? {
            continue;
        }
        let (text, parts) = ticket.joined(usize::MAX).map_err(fail)?;
        let mut basis = needs.basis();
        basis.carrier = ticket.carrier(basis.profiles);
        let explanation = explanation_of(needs, &text, parts.clone(), &basis)?;
        let progress = Ticket::progress(&explanation, &text, &parts, &basis).unwrap_or_default();
        let step = Step::of(&explanation, progress.as_ref(), Utc::now());
        ticket.note(step).map_err(fail)?;
    }
    Ok(Redirect::to(&format!("/tickets/{name}")).into_response())
}

/// Keeps the texts of an explanation in a ticket.
pub(super) async fn keep(State(needs): State<Needs>, pasted: Sent) -> Response {
    match sent(&needs, pasted) {
        Ok(pasted) => {
            apart(move || {
                let name = pasted.ticket.trim().to_owned();
                added(&needs, &name, &pasted, true).unwrap_or_else(|refusal| *refusal)
            })
            .await
        }
        Err(refusal) => *refusal,
    }
}

/// Adds an answer to a ticket.
pub(super) async fn add(
    State(needs): State<Needs>,
    Path(name): Path<String>,
    pasted: Sent,
) -> Response {
    match sent(&needs, pasted) {
        Ok(pasted) => {
            apart(move || added(&needs, &name, &pasted, false).unwrap_or_else(|r| *r)).await
        }
        Err(refusal) => *refusal,
    }
}

/// Closes a ticket with a note.
pub(super) async fn close(
    State(needs): State<Needs>,
    Path(name): Path<String>,
    pasted: Sent,
) -> Response {
    let pasted = match sent(&needs, pasted) {
        Ok(pasted) => pasted,
        Err(refusal) => return *refusal,
    };
    apart(move || {
        let folder = match folder(&needs, &name) {
            Ok(folder) => folder,
            Err(refusal) => return *refusal,
        };
        let Some(note) = pasted.texts().pop() else {
            return refuse(StatusCode::BAD_REQUEST, "A closing note says what it was.");
        };
        let note = mask(&plain(note.trim())).into_owned();
        let closing = Closing { format: 1, closed: Utc::now(), note, was: None };
        match Ticket::open(&folder).and_then(|mut ticket| ticket.close(closing)) {
            Ok(true) => Redirect::to(&format!("/tickets/{name}")).into_response(),
            Ok(false) => refuse(StatusCode::CONFLICT, "The ticket is closed already."),
            Err(error) => failed(&error),
        }
    })
    .await
}
