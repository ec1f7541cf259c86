//! From an exchange to facts: each line to its family, results and plain lines to theirs.

use super::again::Answers;
use super::fields::{Fields, fields_into};
use super::request::{Request, Requests};
use super::standard::{apdu, device};
use super::{Facts, Form, Read, Reply, Tail, effect, maker};
use crate::capture::{Exchange, Line, Outcome};
use crate::span::Span;

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
    pub requests: Requests,
}

/// Whether a line behind a command is none of a modem: a scrap of a script's log.
fn is_no_answer(line: &Line<'_>) -> bool {
    let text = line.text.trim();
    line.head.is_empty()
        && (["expect (", "send (", "abort on (", "timeout set"].iter().any(|s| text.starts_with(s))
            || !text.contains(|c: char| c.is_alphanumeric())
            || is_call(text)
            || super::host_words::is_silence(text))
}

/// Whether a line is a call that reads from the port: `port.read(64)`.
fn is_call(text: &str) -> bool {
    let name = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '_');
    text.strip_suffix(')').and_then(|call| call.split_once('(')).is_some_and(|(called, with)| {
        called.contains('.') && called.chars().all(name) && with.bytes().all(|b| b.is_ascii_digit())
    })
}

/// Whether a line is the count of bytes that an interpreter prints for what it sent: the command with
/// its `AT` and one line end or two.
fn is_count(line: &Line<'_>, command: &str) -> bool {
    let sent = command.len() + "AT".len();
    line.text.trim().parse().is_ok_and(|n: usize| n == sent + 1 || n == sent + 2)
}

/// Reads one exchange.
pub fn read(
    exchange: &Exchange<'_, '_>,
    facts: &mut Facts,
    seen: &mut Seen,
    answers: &mut Answers,
) {
    let headed = exchange.lines.iter().filter(|l| !l.head.is_empty()).count();
    if exchange.outcome != Outcome::Missing || headed > 0 {
        seen.answered += 1;
        seen.last_answer = Some(exchange.outcome_span);
        if seen.answered_at.is_none() {
            let headed = exchange.lines.iter().find(|l| !l.head.is_empty());
            seen.answered_at = Some(headed.map_or(exchange.outcome_span, |l| l.span));
        }
        seen.unanswered = 0;
    } else if let Some(command) = exchange.command
        && exchange.lines.iter().all(|line| is_no_answer(line) || is_count(line, command))
    {
        seen.unanswered += 1;
        seen.unanswered_at = Some(exchange.command_span);
    }
    let request = exchange.command.map_or(Request::NONE, |command| seen.requests.meet(command));
    let mut row = Fields::new();
    let plain = headed < exchange.lines.len();
    // What stands in a plain line may belong to the reply before it.
    let asked = request.asked().filter(|_| !plain);
    for (at, line) in exchange.lines.iter().enumerate() {
        if line.head.is_empty() {
            device::mark(line, facts);
            continue;
        }
        let asked = asked.filter(|_| !line.told);
        if asked.is_some_and(|asked| answers.tell(asked, at, line, facts)) {
            continue;
        }
        let begun = facts.found().len();
        let understood = one(exchange, &request, at, &mut row, facts, seen);
        if let Some(asked) = asked.filter(|_| understood) {
            answers.keep(asked, at, line, &facts.found()[begun..]);
        }
    }
    if plain {
        device::identification(exchange, facts);
        maker::headless::read(exchange, facts);
    }
    if request.acts() {
        apdu::follow(exchange, &mut seen.selected, facts);
    }
    effect::read(exchange, request.acts(), facts);
}

/// Reads the headed line at this place; whether its family knew its form.
fn one<'t>(
    exchange: &Exchange<'_, 't>,
    request: &Request<'_>,
    at: usize,
    row: &mut Fields<'t>,
    facts: &mut Facts,
    seen: &mut Seen,
) -> bool {
    let line = &exchange.lines[at];
    if line.told && super::told::is_hypothetical(&line.text.to_ascii_lowercase()) {
        return false;
    }
    let Some((known, answered, asked)) = request.reader(line.head) else {
        if !device::mark(line, facts) {
            seen.unknown += 1;
        }
        return false;
    };
    // A header that was cut from its values by a line end or a host's remark.
    let first = line.text.as_bytes().first();
    let cut = first == Some(&b'[')
        || first.is_none_or(|b| !b.is_ascii_graphic()) && line.text.trim_start().is_empty();
    let behind = &exchange.lines[at + 1..];
    let values = behind.first().filter(|l| {
        cut && l.head.is_empty()
            && l.text.trim_start().starts_with(|c: char| c.is_ascii_digit() || c == '"')
    });
    let (body, body_at) =
        values.map_or((line.text, line.text_at), |l| (l.text.trim_end(), l.text_at));
    let tail = if behind.is_empty() { Vec::new() } else { tail(behind, line, answered, request) };
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
    let understood = (known.family.read)(&reply, facts) == Read::Understood;
    if understood {
        let new = || !seen.dialect_heads.iter().any(|h| h == line.head);
        if known.dialect && seen.dialect_heads.len() < 32 && new() {
            seen.dialect_heads.push(line.head.to_owned());
        }
    } else {
        seen.unknown_form += 1;
    }
    understood
}

/// A reply in more plain lines than this is read as far as here.
const MOST_ROWS: usize = 64;

/// The plain lines that belong to the reply in `line`, of those behind it.
fn tail<'t>(
    behind: &[Line<'t>],
    line: &Line<'t>,
    answered: Form,
    request: &Request<'_>,
) -> Vec<Tail<'t>> {
    // A code that comes by itself in between does not end the reply.
    let between = |head: &str| {
        answered != Form::Unsolicited
            && !head.eq_ignore_ascii_case(line.head)
            && request.form(head).0 == Form::Unsolicited
    };
    let mut tail = Vec::new();
    for l in behind {
        let ends = if l.head.is_empty() { tail.len() == MOST_ROWS } else { !between(l.head) };
        if ends {
            break;
        }
        if l.head.is_empty() {
            tail.push(Tail { text: l.text, span: l.span });
        }
    }
    tail
}
