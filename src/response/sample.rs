//! What the tests of the families share: reading one invented response, and looking at its facts.

use super::{ContinuationLine, Form, Read, Response, family};
use crate::case::{Cell, Fact, Facts, Quantity};
use crate::span::Span;

/// Reads one reply with the lines below it.
pub(super) fn with_form(prefix: &str, form: Form, body: &str, lines: &[&str]) -> (Read, Vec<Fact>) {
    let family = family(prefix).unwrap_or_else(|| panic!("no family reads {prefix}"));
    let body_at = prefix.len() + 2;
    let mut at = body_at + body.len() + 1;
    let mut continuation = Vec::new();
    for text in lines {
        continuation.push(ContinuationLine {
            text,
            span: Span::new(at, at + text.len()),
            open: false,
        });
        at += text.len() + 1;
    }
    let reply = Response {
        prefix,
        form,
        request: family.request,
        body,
        body_at,
        span: Span::new(0, body_at + body.len()),
        open: false,
        fields: &crate::response::fields(body, body_at),
        continuation: &continuation,
    };
    let mut facts = Facts::default();
    let read = (family.read)(&reply, &mut facts);
    (read, facts.drain().map(|(fact, _)| fact).collect())
}

/// The facts of one line.
pub(super) fn of(prefix: &str, body: &str) -> Vec<Fact> {
    with_form(prefix, Form::Read, body, &[]).1
}

/// The facts of a prefix line and the lines below it.
pub(super) fn of_block(prefix: &str, body: &str, lines: &[&str]) -> Vec<Fact> {
    with_form(prefix, Form::Read, body, lines).1
}

/// A number of the serving cell, or of the module.
pub(super) fn number(quantity: Quantity, value: f64) -> Fact {
    Fact::number(quantity, value, Cell::Serving)
}

/// Whether a fact is among those found.
pub(super) fn says(found: &[Fact], fact: &Fact) -> bool {
    found.contains(fact)
}

/// The numbers of one quantity on the serving cell, in order.
pub(super) fn numbers(found: &[Fact], quantity: Quantity) -> Vec<f64> {
    found
        .iter()
        .filter_map(Fact::as_number)
        .filter(|(q, _, cell)| *q == quantity && *cell == Cell::Serving)
        .map(|(_, value, _)| value)
        .collect()
}
