//! The frame of every page: its head, the way to the other pages, the look-up box.

use super::desktop::Desktop;
use crate::sanitize::plain;
use axum::response::Html;
use maud::{DOCTYPE, Markup, html};

/// A page of the desk.
pub(super) struct Frame {
    /// Whether there are tickets to lead to.
    pub(super) tickets: bool,
}

impl Frame {
    pub(super) const fn of(desktop: &Desktop) -> Self {
        Self { tickets: desktop.tickets.is_some() }
    }

    /// The page around `body`; `asked` stands in the look-up box.
    pub(super) fn page_asking(&self, title: &str, asked: &str, body: &Markup) -> Html<String> {
        let page = html! {
            (DOCTYPE)
            html lang="en" {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width,initial-scale=1";
                    meta name="color-scheme" content="light dark";
                    title { (plain(title)) " · mastside desk" }
                    link rel="stylesheet" href="/style.css";
                    script src="/desk.js" defer {}
                }
                body {
                    a class="skip" href="#main" { "To the page" }
                    header class="top" {
                        nav aria-label="Pages" {
                            a href="/" { "Explain" }
                            @if self.tickets { a href="/tickets" { "Tickets" } }
                            a href="/rules" { "Rules" }
                        }
                        form action="/lookup" method="get" role="search" {
                            label for="q" { "Look up" }
                            input id="q" name="q" type="search" value=(plain(asked)) placeholder="band 20, emm 15, csq 17";
                            button { "Look up" }
                        }
                    }
                    main id="main" tabindex="-1" { (body) }
                    p id="news" role="status" {}
                }
            }
        };
        Html(page.into_string())
    }

    /// The page around `body`.
    pub(super) fn page(&self, title: &str, body: &Markup) -> Html<String> {
        self.page_asking(title, "", body)
    }
}

/// A page with one sentence.
pub(super) fn notice(sentence: &str) -> Html<String> {
    let body = html! {
        h1 { "Support desk" }
        p { (plain(sentence)) }
        p { a href="/" { "Back to the first page" } }
    };
    Frame { tickets: false }.page("Support desk", &body)
}
