//! What a command did or changed by itself, told by its result.

use super::standard::{apdu, context, device, failure};
use super::vendor;
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
        || vendor::access_point::sets(command)
}

/// Whether a command opens a data session: one of TS 27.007 §10.1.10, §10.1.12, or a vendor's.
pub(crate) fn opens_session(command: &str) -> bool {
    let starts =
        |name: &str| command.get(..name.len()).is_some_and(|c| c.eq_ignore_ascii_case(name));
    // A read opens none.
    !command.ends_with('?')
        && (starts("+CGACT=1") || starts("+CGDATA") || vendor::activation::opens(command))
}

/// Whether an error at the very end of a text may be the beginning of another: `+CME ERROR: 1` of 10, 14 or 148.
pub(crate) fn may_go_on(outcome: Outcome<'_>) -> bool {
    matches!(outcome, Outcome::Error { list, text } if !list.is_empty() && failure::may_go_on(list, text))
}

/// Reads how an exchange ended; `acts` where its command can tell something by its result, `cut` where an error may have
/// lost its end.
pub(crate) fn read(exchange: &Exchange<'_, '_>, acts: bool, cut: bool, facts: &mut Facts) {
    match exchange.outcome {
        Outcome::Error { list, text } => {
            let text = if cut { "" } else { text };
            let command = exchange.command.unwrap_or("");
            failure::failed(command, list, text, exchange.outcome_span, facts);
        }
        // A call that the host hangs up ends so (V.250 §6.3.6).
        Outcome::NoCarrier if exchange.command.is_some_and(hangs_up) => {}
        Outcome::NoCarrier => facts.push(Fact::NoCarrier, exchange.outcome_span),
        Outcome::Connect => facts.push(Fact::Connected, exchange.outcome_span),
        Outcome::Ok | Outcome::Missing => {}
    }
    if let Some(command) = exchange.command.filter(|_| acts) {
        of(command, exchange, facts);
    }
}

fn hangs_up(command: &str) -> bool {
    ["H", "H0", "H1"].iter().any(|hook| command.trim().eq_ignore_ascii_case(hook))
}

/// What a command did, by its result.
fn of(command: &str, exchange: &Exchange<'_, '_>, facts: &mut Facts) {
    let ok = exchange.outcome == Outcome::Ok;
    let failed = matches!(exchange.outcome, Outcome::Error { .. } | Outcome::NoCarrier);
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
    let begin = exchange.command_span.end.saturating_sub(command.len());
    vendor::access_point::set(command, begin, facts);
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
