//! What to do, what to ask, what the team adds, and the checks before a return.

use super::Sheet;
use crate::explanation::asking::{self, Parts};
use crate::explanation::team;
use crate::rules::Acts;
use crate::sanitize::plain;
use crate::verdict::TeamLine;
use maud::{Markup, html};

fn commands<'c>(commands: impl IntoIterator<Item = &'c str>) -> Markup {
    let lines: Vec<_> = commands.into_iter().map(|c| plain(c)).collect();
    html! { pre class="block" tabindex="0" { code { (lines.join("\n")) } } }
}

fn caution(words: Option<&str>) -> Markup {
    html! { @if let Some(words) = words { p class="caution" { b { "Caution: " } (plain(words)) } } }
}

fn change(changes: bool) -> Markup {
    html! { @if changes { p class="faint" { "Changes a setting." } } }
}

impl Sheet<'_, '_> {
    pub(super) fn actions(&self) -> Markup {
        let verdict = self.explanation.verdict();
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
                        @if !action.commands.is_empty() { (commands(action.commands.iter().map(AsRef::as_ref))) }
                        (change(action.changes))
                        (caution(action.caution))
                    }
                }
            }
        }
    }

    pub(super) fn team(&self) -> Markup {
        let lines = &self.explanation.verdict().team;
        html! {
            @if !lines.is_empty() {
                h2 { "From your team" }
                ul { @for line in lines { li { (team_line(line)) } } }
            }
        }
    }

    pub(super) fn questions(&self) -> Markup {
        let asks = &self.explanation.verdict().ask_next;
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
                @for question in questions { p class="question" { (question) } }
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

    pub(super) fn before_return(&self) -> Markup {
        let Some(decision) = &self.explanation.returning else { return html! {} };
        html! {
            h2 { "Before it is sent back" }
            ol {
                @for check in &decision.checks {
                    li {
                        (check.what) ": " b { (check.state.word()) } ". " (check.how)
                        (caution(check.caution))
                    }
                }
            }
            p { (self.word(&decision.sentence)) }
            p { "For the maker's desk: " (self.word(&decision.for_the_maker)) }
        }
    }
}

fn team_line(line: &TeamLine) -> Markup {
    match line {
        TeamLine::Note(note) => html! { (plain(note)) },
        TeamLine::Contact(role, contact) => html! { "Call " (role.words()) ": " (plain(contact)) },
        TeamLine::Experience(sentence) => html! { (team::experience(sentence)) },
        TeamLine::Step(step) => html! {
            (plain(&step.text))
            @if !step.commands.is_empty() { (commands(step.commands.iter().map(String::as_str))) }
            (change(step.changes))
            (caution(step.caution.as_deref()))
        },
    }
}
