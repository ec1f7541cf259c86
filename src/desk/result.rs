//! The explanation on the page: the verdict beside the text, what changed, what can be copied, saved, kept, followed up.

use super::form::carried;
use super::needs::Needs;
use crate::explanation::html::{Links, Sheet};
use crate::explanation::{self, Explanation, Reader};
use crate::ticket::Progress;
use maud::{Markup, html};

/// A hidden field.
pub(super) fn hidden(name: &str, value: &str) -> Markup {
    html! { input type="hidden" name=(name) value=(value); }
}

/// What goes into the page for texts that were pasted.
pub(super) fn result(
    needs: &Needs,
    texts: &[String],
    explanation: &Explanation<'_>,
    progress: Option<&Progress>,
) -> Markup {
    let carried = carried(texts);
    let token = &needs.guard.token;
    html! {
        (answer(explanation, progress))
        section class="follow" {
            h2 { "Answer of the customer" }
            form action="/explain" method="post" class="live" {
                (hidden("token", token)) (hidden("carried", &carried))
                label for="answer" { "Paste what came back. It is read together with the text above, and nothing is asked twice." }
                textarea id="answer" name="answer" required spellcheck="false" autocomplete="off" {}
                p { button { "Explain all" } }
            }
        }
        section class="pass-on" {
            h2 { "Pass it on" }
            (messages(explanation))
            form class="row" action="/explain" method="post" {
                (hidden("token", token)) (hidden("carried", &carried))
                span { "Save " }
                button name="form" value="html" { "Explanation as a page" }
                button name="form" value="markdown" { "Ticket (Markdown)" }
                button name="form" value="message" { "Message" }
                button name="form" value="redacted" { "Redacted text" }
            }
        }
        @if needs.desktop.tickets.is_some() {
            section class="keep" {
                h2 { "Keep in a ticket" }
                form class="row" action="/tickets" method="post" {
                    (hidden("token", token)) (hidden("carried", &carried))
                    label for="ticket" { "Number" }
                    input id="ticket" name="ticket" required maxlength="64" pattern="[A-Za-z0-9][A-Za-z0-9._\\-]*" autocomplete="off";
                    label for="site" { "Site" }
                    input id="site" name="site" autocomplete="off";
                    label { input type="checkbox" name="original" value="yes"; " with identities, as it came" }
                    button { "Keep" }
                }
            }
        }
    }
}

/// The verdict beside the text, with what the last text changed.
pub(super) fn answer(explanation: &Explanation<'_>, progress: Option<&Progress>) -> Markup {
    let sheet = Sheet::of(explanation, Links::Desk);
    let sheet = if progress.is_some() { sheet.without_progress() } else { sheet };
    html! {
        div class="answer" {
            section class="verdict" {
                (sheet.headline())
                @if let Some(progress) = progress { (changed(progress)) }
                (sheet.details())
            }
            section class="given" { h2 { "The text" } (sheet.text()) }
        }
    }
}

/// What the last text changed.
fn changed(progress: &Progress) -> Markup {
    let (holds, others): (Vec<_>, Vec<_>) =
        progress.settled.iter().partition(|s| s.judgement == "holds");
    html! {
        div class="changed" {
            h2 { "What the answer changed" }
            ul {
                @match progress.before {
                    Some(before) => li { "The finding was " code { (before) } " before." },
                    None => li { "The finding is the same as before." },
                }
                @for settled in &holds { li { b { "Holds now: " } code { (settled.id) } ", " (settled.says) } }
                @if progress.settled.is_empty() { li { "Nothing that was open is settled." } }
                @if !progress.answered.is_empty() { li { b { "Answered: " } (progress.answered.join(", ")) } }
                @if !progress.missing.is_empty() { li { b { "Still missing: " } (progress.missing.join(", ")) } }
            }
            @if !others.is_empty() {
                details {
                    summary { "Ruled out now: " (others.len()) }
                    ul { @for settled in others { li { code { (settled.id) } ": " (settled.says) } } }
                }
            }
        }
    }
}

fn messages(explanation: &Explanation<'_>) -> Markup {
    let first = Reader::of(explanation);
    let written = |reader| {
        let mut out = String::new();
        // Writing to a string cannot fail.
        let _ = explanation::message_to(reader, explanation, &mut out);
        out
    };
    let mut ticket = String::new();
    let _ = explanation::markdown(explanation, &mut ticket);
    html! {
        @for (reader, name) in [
            (Reader::Installer, "Message to whoever is at the device"),
            (Reader::AccountHolder, "Message to the account holder"),
        ] {
            details open[reader == first] {
                summary { (name) }
                pre class="block words" tabindex="0" { code { (written(reader)) } }
            }
        }
        details {
            summary { "Ticket (Markdown)" }
            pre class="block words" tabindex="0" { code { (ticket) } }
        }
    }
}
