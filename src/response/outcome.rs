//! What a command did or changed by itself, told by its result.

use super::standard::{apdu, context, device, failure};
use crate::capture::{Exchange, Outcome};
use crate::case::{Fact, Facts, Operator};
use crate::span::Span;

/// Whether the result of a command, without its `AT`, can tell something by itself.
pub(crate) fn acts(command: &str) -> bool {
    opens_session(command)
        || device::restarts(command)
        || apdu::carries(command)
        || lists_contexts(command)
        || setting(command).is_some()
}

/// Commands that open a data session, from 27.007 and makers' own; common practice, no source.
const OPENING: &[&str] = &[
    "+CGACT=1",
    "+CIICR",
    "+SAPBR=1",
    "+QIACT",
    "+CNACT=",
    "+CGDATA",
    "#SGACT=",
    "+XACTIVATE",
    "$QCRMCALL=1",
    "^NDISDUP=1,1",
    "+NETOPEN",
];

/// The first two letters of each, which tell nearly every other command apart.
const LETTERS: [[u8; 2]; OPENING.len()] = {
    let mut letters = [[0; 2]; OPENING.len()];
    let mut at = 0;
    while at < OPENING.len() {
        let name = OPENING[at].as_bytes();
        letters[at] = [name[1], name[2]];
        at += 1;
    }
    letters
};

/// Whether a command opens a data session.
pub(crate) fn opens_session(command: &str) -> bool {
    // A read opens none.
    let [_, first, second, .., last] = command.as_bytes() else { return false };
    let letters = [first.to_ascii_uppercase(), second.to_ascii_uppercase()];
    if *last == b'?' || !LETTERS.contains(&letters) {
        return false;
    }
    let starts =
        |name: &&str| command.get(..name.len()).is_some_and(|c| c.eq_ignore_ascii_case(name));
    OPENING.iter().any(starts)
}

/// Reads how an exchange ended; `acts` where its command can tell something by its result.
pub(crate) fn read(exchange: &Exchange<'_, '_>, acts: bool, facts: &mut Facts) {
    match exchange.outcome {
        Outcome::Error { list, text } => {
            let command = exchange.command.unwrap_or("");
            failure::failed(command, list, text, exchange.outcome_span, facts);
        }
        Outcome::NoCarrier => facts.push(Fact::NoCarrier, exchange.outcome_span),
        Outcome::Connect => facts.push(Fact::Connected, exchange.outcome_span),
        Outcome::Ok | Outcome::Missing => {}
    }
    if let Some(command) = exchange.command.filter(|_| acts) {
        of(command, exchange, facts);
    }
}

/// What a command did, by its result.
fn of(command: &str, exchange: &Exchange<'_, '_>, facts: &mut Facts) {
    let ok = exchange.outcome == Outcome::Ok;
    let failed = matches!(exchange.outcome, Outcome::Error { .. });
    if (ok || failed) && opens_session(command) {
        facts.push(Fact::Opening(ok), exchange.outcome_span);
    }
    if ok || failed || exchange.outcome == Outcome::Missing {
        device::effect(command, exchange.command_span, ok, facts);
    }
    if !ok {
        return;
    }
    if let Some((setting, value)) = setting(command) {
        let at = exchange.command_span.end.saturating_sub(value.len());
        set(setting, value, at, exchange.command_span, facts);
    }
    // `OK` and nothing else: no context is defined.
    if exchange.lines.is_empty() && lists_contexts(command) {
        facts.push(Fact::NoContexts, exchange.outcome_span);
    }
}

fn lists_contexts(command: &str) -> bool {
    command.eq_ignore_ascii_case("+CGDCONT?")
}

/// A setting of which the command tells as much as a read does.
#[derive(Clone, Copy)]
enum Setting {
    /// `AT+CGDCONT=1,"IP","name"`
    Context,
    /// `AT+COPS=0`
    Operator,
}

/// What a command sets, and the values behind its equals sign.
fn setting(command: &str) -> Option<(Setting, &str)> {
    // Two letters tell nearly every other command apart, and a question sets nothing.
    let [_, b'C' | b'c', b'G' | b'g' | b'O' | b'o', .., last] = command.as_bytes() else {
        return None;
    };
    if *last == b'?' {
        return None;
    }
    let (name, value) = command.split_once('=')?;
    let named = |wanted: &str| name.trim().eq_ignore_ascii_case(wanted);
    if named("+CGDCONT") {
        Some((Setting::Context, value))
    } else if named("+COPS") {
        Some((Setting::Operator, value))
    } else {
        None
    }
}

/// What stands there from then on; the values begin at `at`.
fn set(setting: Setting, value: &str, at: usize, span: Span, facts: &mut Facts) {
    match setting {
        Setting::Context => {
            context::defined(value, at, facts);
        }
        Setting::Operator => {
            let mode = value.trim().split(',').next().and_then(|m| m.parse::<u8>().ok());
            if let Some(mode) = mode.filter(|m| matches!(m, 0 | 1 | 2 | 4)) {
                facts.push(Fact::Operator(Operator { mode, name: None, act: None }), span);
            }
        }
    }
}
