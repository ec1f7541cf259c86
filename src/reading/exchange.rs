//! From an exchange to facts: each line to its family, results and plain lines to theirs.

use super::unread;
use crate::capture::{Ending, Exchange, Line, Outcome, Sentence};
use crate::case::{Dialogue, Ended, Fact, Facts, Power, ReportedBy};
use crate::free_text;
use crate::response::standard::{self, apdu, device};
use crate::response::{
    ContinuationLine, Fields, Form, Read, Request, Response, fields_into, outcome, vendor,
};
use crate::span::Span;

/// Whether a line behind a command is none of a modem: a scrap of a script's log, or a remark in a
/// recording.
fn is_no_answer(line: &Line<'_>) -> bool {
    let lower = line.text.to_ascii_lowercase();
    // `.....timeout`: a dot for each second of waiting.
    let text = lower.trim().trim_start_matches(['.', ' ']);
    line.prefix.is_empty()
        && ([
            "no answer within the time",
            "no answer",
            "no reply",
            "no response",
            "timeout",
            "timed out",
            "late: ",
            "expect (",
            "send (",
            "abort on (",
            "timeout set",
        ]
        .iter()
        .any(|s| text.starts_with(s))
            || !text.contains(|c: char| c.is_alphanumeric())
            || is_call(text)
            || free_text::is_silence(text))
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

/// Reads one exchange; `ends_text` where the text ends directly behind its result, which may be cut.
pub(crate) fn read(
    exchange: &Exchange<'_, '_>,
    ends_text: bool,
    facts: &mut Facts,
    seen: &mut Dialogue,
) {
    let headed = exchange.lines.iter().filter(|l| !l.prefix.is_empty()).count();
    let mut silent = false;
    if exchange.outcome != Outcome::Missing || headed > 0 {
        seen.answered += 1;
        // Without a result the last line with a prefix ends the response.
        let last = exchange.lines.iter().rfind(|l| !l.prefix.is_empty());
        let last = last.filter(|_| exchange.outcome == Outcome::Missing);
        seen.last_answer = Some(last.map_or(exchange.outcome_span, |l| l.span));
        if seen.answered_at.is_none() {
            let headed = exchange.lines.iter().find(|l| !l.prefix.is_empty());
            seen.answered_at = Some(headed.map_or(exchange.outcome_span, |l| l.span));
        }
        seen.unanswered = 0;
    } else if let Some(command) = exchange.command
        && exchange.lines.iter().all(|line| is_no_answer(line) || is_count(line, command))
    {
        silent = true;
        seen.unanswered += 1;
        seen.unanswered_at = Some(exchange.command_span);
    }
    let request = exchange.command.map_or(Request::NONE, Request::of);
    if let Some(command) = exchange.command {
        let ended = match exchange.outcome {
            Outcome::Error { .. } | Outcome::NoCarrier => Ended::Badly,
            _ if silent => Ended::Silent,
            Outcome::Missing => Ended::Unfinished,
            _ => Ended::Well,
        };
        seen.sent(command, ended);
        if exchange.outcome == Outcome::Ok && command.contains('=') && !command.ends_with("=?") {
            seen.was_set(command);
        }
    }
    // `AT&V` lists the settings of the session (common practice): its `+CREG: 0` is a report mode, no state.
    if exchange.command.is_some_and(|command| command.trim().eq_ignore_ascii_case("&V")) {
        return;
    }
    let mut row = Fields::new();
    let first = facts.found().len();
    let plain = headed < exchange.lines.len();
    for (at, line) in exchange.lines.iter().enumerate() {
        if line.prefix.is_empty() {
            device::mark(line, facts);
            continue;
        }
        one(exchange, &request, at, &mut row, facts, seen);
    }
    if plain {
        let before = facts.found().len();
        device::identification(exchange, facts);
        standard::unprefixed::read(exchange, facts);
        vendor::unprefixed::read(exchange, facts);
        if facts.found().len() == before {
            unread::plain(exchange, &request, seen);
        }
    }
    if request.acts() {
        apdu::follow(exchange, &mut seen.selected, facts);
    }
    if !is_stated(exchange.outcome_sentence, exchange.outcome_span) {
        return;
    }
    let cut = ends_text && outcome::may_go_on(exchange.outcome);
    outcome::read(exchange, request.acts(), cut, facts);
    if !cut {
        unread::error(exchange, seen);
    }
    let here = &facts.found()[first.min(facts.found().len())..];
    let of = |power| move |(fact, _): &&(Fact, Span)| *fact == Fact::Power(power);
    let ordered = here.iter().find(of(Power::HostRestart)).is_some();
    if exchange.command.is_some() && seen.answered > 1 && !ordered {
        let started = here.iter().find(of(Power::Started)).map(|(_, span)| *span);
        seen.started_inside = started.or(seen.started_inside);
    }
}

/// Whether what stands in a sentence is said of this modem now; what stands in none is.
fn is_stated(sentence: Option<Sentence<'_>>, span: Span) -> bool {
    sentence.is_none_or(|Sentence { text, at }| {
        let place = |p: usize| p.saturating_sub(at).min(text.len());
        free_text::states_response(text, place(span.start)..place(span.end))
    })
}

/// Reads the headed line at this place; whether its family knew its form.
fn one<'t>(
    exchange: &Exchange<'_, 't>,
    request: &Request<'_>,
    at: usize,
    row: &mut Fields<'t>,
    facts: &mut Facts,
    seen: &mut Dialogue,
) -> bool {
    let line = &exchange.lines[at];
    facts.said_by(if line.sentence.is_some() { ReportedBy::Person } else { ReportedBy::Modem });
    if !is_stated(line.sentence, line.span) {
        return false;
    }
    let Some((known, answered, asked)) = request.reader(line.prefix) else {
        if !device::mark(line, facts) {
            unread::command(line, request, seen);
        }
        return false;
    };
    // A prefix that was cut from its values by a line end or a host's remark.
    let first = line.text.as_bytes().first();
    let cut = first == Some(&b'[')
        || first.is_none_or(|b| !b.is_ascii_graphic()) && line.text.trim_start().is_empty();
    let behind = &exchange.lines[at + 1..];
    let values = behind.first().filter(|l| {
        cut && l.prefix.is_empty()
            && l.text.trim_start().starts_with(|c: char| c.is_ascii_digit() || c == '"')
    });
    let (body, body_at) =
        values.map_or((line.text, line.text_at), |l| (l.text.trim_end(), l.text_at));
    let continuation =
        if behind.is_empty() { Vec::new() } else { continuation(exchange, at, answered, request) };
    fields_into(body, body_at, row);
    // A line of fewer fields beside the answer came by itself, while the modem was asked.
    let fuller = |l: &Line<'_>| l.prefix.eq_ignore_ascii_case(line.prefix) && l.text.contains(',');
    let by_itself =
        answered == Form::Read && !body.contains(',') && exchange.lines.iter().any(fuller);
    let answered = if by_itself { Form::Unsolicited } else { answered };
    let reply = Response {
        prefix: line.prefix,
        form: answered,
        request: asked,
        body,
        body_at,
        span: values.map_or(line.span, |l| line.span.to(l.span)),
        // A prefix that the text ends behind may have had values.
        open: line.ending != Ending::Complete
            || body.is_empty() && exchange.outcome == Outcome::Missing,
        fields: row,
        continuation: &continuation,
    };
    let understood = (known.family.read)(&reply, facts) == Read::Understood;
    if understood {
        match exchange.command {
            None => seen.came_unasked(line.prefix),
            Some(command) if answered == Form::Read => seen.was_read(command, body, reply.span),
            Some(_) => {}
        }
        let new = || !seen.vendor_prefixes.iter().any(|h| h == line.prefix);
        if known.of_a_vendor && seen.vendor_prefixes.len() < 32 && new() {
            seen.vendor_prefixes.push(line.prefix.to_owned());
        }
    } else {
        unread::form(line, reply.span, asked, seen);
    }
    understood
}

/// A reply in more plain lines than this is read as far as here.
const MOST_ROWS: usize = 64;

/// The plain lines that belong to the reply in the line at this place, of those behind it.
fn continuation<'t>(
    exchange: &Exchange<'_, 't>,
    at: usize,
    answered: Form,
    request: &Request<'_>,
) -> Vec<ContinuationLine<'t>> {
    let (line, behind) = (&exchange.lines[at], &exchange.lines[at + 1..]);
    // A code that comes by itself in between does not end the reply.
    let between = |prefix: &str| {
        answered != Form::Unsolicited
            && !prefix.eq_ignore_ascii_case(line.prefix)
            && request.form(prefix).0 == Form::Unsolicited
    };
    let mut continuation = Vec::new();
    for l in behind {
        let ends =
            if l.prefix.is_empty() { continuation.len() == MOST_ROWS } else { !between(l.prefix) };
        if ends {
            break;
        }
        if l.prefix.is_empty() {
            continuation.push(ContinuationLine {
                text: l.text,
                span: l.span,
                open: l.ending != Ending::Complete,
            });
        }
    }
    continuation
}
