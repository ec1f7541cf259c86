//! The pasted text with its marks: evidence, what else was found, what was not understood.

use super::Sheet;
use crate::explanation::marks::{self, Line, Mark, Piece};
use crate::sanitize::plain;
use maud::{Markup, html};

impl Sheet<'_, '_> {
    /// The text; a mark leads to its statement.
    pub fn text(&self) -> Markup {
        html! {
            p class="key" {
                span class="cause" { "shows the cause" } " "
                span class="also" { "shows something else" } " "
                span class="unread" { "not understood" }
            }
            div class="pasted" tabindex="0" role="region" aria-label="The text with the evidence marked" {
                @for line in marks::lines(self.explanation, &self.marks) {
                    @match line {
                        Line::LeftOut(count) => div class="left-out" { (count) " lines left out" },
                        Line::Part(name) => div class="part" { (plain(name)) },
                        Line::Shown { number, anchor, pieces } => div class="line" id={ "L" (anchor) } {
                            span class="number" { (number) }
                            code {
                                @for piece in pieces {
                                    @match piece {
                                        Piece::Plain(text) => (plain(text)),
                                        Piece::LeftOut(bytes) => span class="left-out" { " … " (bytes) " bytes left out … " },
                                        Piece::Marked(text, mark, first) => (self.marked(text, mark, first)),
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
    fn marked(&self, text: &str, mark: &Mark<'_>, first: bool) -> Markup {
        let name = first.then(|| format!("m{}", mark.number));
        html! {
            @if self.is_stated(mark) {
                a id=[name] class=(mark.class) href={ "#s" (mark.number) } title=(plain(mark.says)) { (plain(text)) }
            } @else {
                span id=[name] class=(mark.class) title=(plain(mark.says)) { (plain(text)) }
            }
        }
    }
}
