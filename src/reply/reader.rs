//! From an exchange to facts: each line to its family, results and plain lines to theirs.

use super::fields::{Fields, fields_into};
use super::maker;
use super::request::{Request, opens_session};
use super::standard::{self, device, failure};
use super::{Fact, Facts, Family, Form, Read, Reply, Tail};
use crate::capture::{Exchange, Line, Outcome};
use crate::span::Span;
use std::collections::HashMap;
use std::sync::OnceLock;

/// What was seen beside the facts.
#[derive(Debug, Default, Clone)]
pub struct Seen {
    /// Commands without any answer, in a row at the end of the text.
    pub unanswered: usize,
    /// Where the last of them stands.
    pub unanswered_at: Option<Span>,
    /// Answers of any kind.
    pub answered: usize,
    /// Where the first of them stands.
    pub answered_at: Option<Span>,
    /// Where the last of them ended.
    pub last_answer: Option<Span>,
    /// Replies with a header that no family reads, with their count.
    pub unknown: usize,
    /// Replies of a known command in an unknown form.
    pub unknown_form: usize,
    /// Headers of makers' own replies that were understood, in the order in which they came.
    pub dialect_heads: Vec<String>,
    /// The card file that stands selected in a dialogue over `+CSIM`.
    pub selected: Option<u16>,
    /// Requests that were seen, for not asking them again.
    pub requests: Vec<String>,
}

/// What is known of a header.
#[derive(Clone, Copy)]
struct Known {
    family: &'static Family,
    /// Whether it shows its maker's dialect.
    dialect: bool,
}

/// Looked into once for every reply, and never with a key that someone else could choose to
/// collide: a fast hash serves.
type Heads = HashMap<&'static str, Known, foldhash::fast::FixedState>;

fn table() -> &'static Heads {
    static TABLE: OnceLock<Heads> = OnceLock::new();
    TABLE.get_or_init(|| {
        families()
            .flat_map(|family| family.heads.iter().map(move |&head| (head, family)))
            .map(|(head, family)| {
                (head, Known { family, dialect: maker::dialect([head]).is_some() })
            })
            .collect()
    })
}

/// Every family, standard ones first.
pub fn families() -> impl Iterator<Item = &'static Family> {
    standard::FAMILIES.iter().chain(maker::FAMILIES).copied()
}

/// The family of a header, whatever its case.
pub fn family(head: &str) -> Option<&'static Family> {
    known(head).map(|k| k.family)
}

fn known(head: &str) -> Option<Known> {
    let found = table().get(head).copied();
    found.or_else(|| table().get(head.to_ascii_uppercase().as_str()).copied())
}

/// Whether a line behind a command is none of a modem: a scrap of a script's log.
fn is_no_answer(line: &Line<'_>) -> bool {
    let text = line.text.trim();
    line.head.is_empty()
        && (["expect (", "send (", "abort on (", "timeout set"].iter().any(|s| text.starts_with(s))
            || !text.contains(|c: char| c.is_alphanumeric())
            || super::host_words::is_silence(text))
}

/// Reads one exchange.
pub fn read(exchange: &Exchange<'_, '_>, facts: &mut Facts, seen: &mut Seen) {
    if let Some(command) = exchange.command {
        if exchange.outcome == Outcome::Missing && exchange.lines.iter().all(is_no_answer) {
            seen.unanswered += 1;
            seen.unanswered_at = Some(exchange.command_span);
        }
        let known = seen.requests.iter().any(|r| r == command || r.eq_ignore_ascii_case(command));
        if seen.requests.len() < 256 && !known {
            seen.requests.push(command.to_ascii_uppercase());
        }
    }
    let dialogue =
        exchange.outcome != Outcome::Missing || exchange.lines.iter().any(|l| !l.head.is_empty());
    if dialogue {
        seen.answered += 1;
        seen.last_answer = Some(exchange.outcome_span);
        if seen.answered_at.is_none() {
            let headed = exchange.lines.iter().find(|l| !l.head.is_empty());
            seen.answered_at = Some(headed.map_or(exchange.outcome_span, |l| l.span));
        }
        seen.unanswered = 0;
    }
    let request = exchange.command.map(Request::of);
    let mut row = Fields::new();
    let mut plain = false;
    for (at, line) in exchange.lines.iter().enumerate() {
        plain |= line.head.is_empty();
        if device::mark(line, facts) || line.head.is_empty() {
            continue;
        }
        one(exchange, request.as_ref(), at, &mut row, facts, seen);
    }
    if plain {
        device::identification(exchange, facts);
        maker::headless::read(exchange, facts);
    }
    standard::apdu::follow(exchange, &mut seen.selected, facts);
    result(exchange, facts);
}

fn one<'t>(
    exchange: &Exchange<'_, 't>,
    request: Option<&Request<'_>>,
    at: usize,
    row: &mut Fields<'t>,
    facts: &mut Facts,
    seen: &mut Seen,
) {
    let line = &exchange.lines[at];
    let form = |head: &str| request.map_or((Form::Unknown, ""), |r| r.form(head));
    if line.told && super::told::is_hypothetical(&line.text.to_ascii_lowercase()) {
        return;
    }
    let Some(Known { family, dialect }) = known(line.head) else {
        seen.unknown += 1;
        return;
    };
    let (answered, asked) = form(line.head);
    // A header that was cut from its values by a line end or a host's remark.
    let cut = line.text.starts_with('[') || line.text.trim_start().is_empty();
    let values = exchange.lines.get(at + 1).filter(|l| {
        cut && l.head.is_empty()
            && l.text.trim_start().starts_with(|c: char| c.is_ascii_digit() || c == '"')
    });
    let (body, body_at) =
        values.map_or((line.text, line.text_at), |l| (l.text.trim_end(), l.text_at));
    // A code that comes by itself in between does not end the reply.
    let answers = answered != Form::Unsolicited && answered != Form::Unknown;
    let between =
        |head: &str| !head.eq_ignore_ascii_case(line.head) && form(head).0 == Form::Unsolicited;
    let tail: Vec<Tail<'_>> = exchange.lines[at + 1..]
        .iter()
        .take_while(|l| l.head.is_empty() || answers && between(l.head))
        .filter(|l| l.head.is_empty())
        .take(64)
        .map(|l| Tail { text: l.text, span: l.span })
        .collect();
    fields_into(body, body_at, row);
    let reply = Reply {
        head: line.head,
        form: answered,
        request: asked,
        body,
        body_at,
        span: values.map_or(line.span, |l| line.span.to(l.span)),
        fields: row,
        tail: &tail,
    };
    match (family.read)(&reply, facts) {
        Read::UnknownForm => seen.unknown_form += 1,
        Read::Understood => {
            let new = || !seen.dialect_heads.iter().any(|h| h == line.head);
            if dialect && seen.dialect_heads.len() < 32 && new() {
                seen.dialect_heads.push(line.head.to_owned());
            }
        }
    }
}

fn result(exchange: &Exchange<'_, '_>, facts: &mut Facts) {
    let command = exchange.command.unwrap_or("");
    let ended = match exchange.outcome {
        Outcome::Ok => Some(true),
        Outcome::Error { .. } => Some(false),
        _ => None,
    };
    if let Some(well) = ended.filter(|_| opens_session(command)) {
        facts.push(Fact::Opening(well), exchange.outcome_span);
    }
    match exchange.outcome {
        Outcome::Error { list, text } => {
            failure::failed(command, list, text, exchange.outcome_span, facts);
            device::effect(command, exchange.command_span, false, facts);
        }
        Outcome::NoCarrier => facts.push(Fact::NoCarrier, exchange.outcome_span),
        Outcome::Connect => facts.push(Fact::Connected, exchange.outcome_span),
        Outcome::Ok | Outcome::Missing => {
            device::effect(command, exchange.command_span, exchange.outcome == Outcome::Ok, facts);
            set_context(exchange, facts);
            no_context(exchange, facts);
        }
    }
}

/// `AT+CGDCONT?` with nothing but `OK` behind it: no context is defined.
fn no_context(exchange: &Exchange<'_, '_>, facts: &mut Facts) {
    let asked = exchange.command.is_some_and(|c| c.eq_ignore_ascii_case("+CGDCONT?"));
    if asked && exchange.outcome == Outcome::Ok && exchange.lines.is_empty() {
        facts.push(Fact::NoContexts, exchange.outcome_span);
    }
}

/// `AT+CGDCONT=1,"IP","name"` with `OK` behind it says what stands there from then on.
fn set_context(exchange: &Exchange<'_, '_>, facts: &mut Facts) {
    let Some(command) = exchange.command.filter(|_| exchange.outcome == Outcome::Ok) else {
        return;
    };
    // Two letters tell nearly every other command apart.
    if !matches!(command.as_bytes(), [_, b'C' | b'c', b'G' | b'g' | b'O' | b'o', ..]) {
        return;
    }
    let Some((name, value)) = command.split_once('=') else { return };
    if name.trim().eq_ignore_ascii_case("+CGDCONT") && !value.starts_with('?') {
        let at = exchange.command_span.end.saturating_sub(value.len());
        let _ = standard::context::definition(&super::fields(value, at), true, facts);
    } else if name.trim().eq_ignore_ascii_case("+COPS")
        && let Some(mode) = value
            .trim()
            .split(',')
            .next()
            .and_then(|m| m.parse::<u8>().ok())
            .filter(|m| matches!(m, 0 | 1 | 2 | 4))
    {
        facts.push(
            Fact::Operator(super::Operator { mode, name: None, act: None }),
            exchange.command_span,
        );
    }
}
