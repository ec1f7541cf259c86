//! What is ruled out, what is open and what was not understood, folded away with the reasons.

use super::Sheet;
use crate::explanation::unread;
use crate::rules::Judgement;
use maud::{Markup, html};

impl Sheet<'_, '_> {
    pub(super) fn judgements(&self) -> Markup {
        let ruled_out = self.judged(|j| matches!(j, Judgement::RuledOut(_)));
        let open = self.judged(|j| matches!(j, Judgement::Open));
        html! {
            h2 { "Other causes" }
            details {
                summary { "Ruled out: " (ruled_out.len()) }
                ul {
                    @for j in ruled_out {
                        li {
                            (self.links.finding(j.rule.id))
                            @for e in j.evidence() { ": " (self.word(&e.says)) " (" (self.line(e.span.start)) ")" }
                        }
                    }
                }
            }
            details {
                summary { "Open: " (open.len()) }
                ul {
                    @for j in open {
                        li {
                            (self.links.finding(j.rule.id)) ": " (j.rule.asks)
                            @if !j.settled_by.is_empty() { " Settled by " (j.settled_by.join(", ")) "." }
                        }
                    }
                }
            }
        }
    }

    pub(super) fn not_understood(&self) -> Markup {
        let all = unread::all(self.explanation);
        let count = all.len() + unread::more(self.explanation);
        html! {
            @if count > 0 {
                details {
                    summary { "Not understood: " (count) }
                    ul {
                        @for unread in all {
                            @let extract = self.explanation.source.extract(unread.span);
                            @let mark = self.of_class("unread").find(|m| m.span == unread.span);
                            li id=[mark.map(|m| format!("s{}", m.number))] {
                                @match mark {
                                    Some(mark) => {
                                        a class="at" href={ "#m" (mark.number) } { (self.part(unread.span.start)) "line " (extract.place.line) }
                                    },
                                    None => (self.line(unread.span.start)),
                                }
                                " " code { (extract.marked()) } " (" (unread::reason(unread)) ")"
                            }
                        }
                    }
                }
            }
        }
    }
}
