//! The explanation as one JSON object; its schema is printed by `mastside schema`.

mod object;

pub use object::*;

use super::device::Device;
use super::explained::Explanation;
use super::extract::Source;
use super::unread;
use crate::case::{Case, Cell, Evidence, Quantity, Unread, Value};
use crate::rules::Judgement;
use crate::span::Span;
use crate::verdict::returns::{Check, Decision, State};
use crate::verdict::{Judged, Remedy, TeamLine, Verdict};
use std::fmt::{self, Write};

/// Writes the object, indented, with a line end behind it.
///
/// # Errors
///
/// Only when `out` itself fails.
pub fn json(explanation: &Explanation<'_>, out: &mut impl Write) -> fmt::Result {
    // The object holds no map with odd keys and no number that JSON lacks, so only `out` can fail.
    let text = serde_json::to_string_pretty(&object(explanation)).map_err(|_| fmt::Error)?;
    writeln!(out, "{text}")
}

/// The object of an explanation.
pub fn object(explanation: &Explanation<'_>) -> Object {
    let Explanation { source, returning, .. } = explanation;
    let (case, verdict) = (explanation.case(), explanation.verdict());
    Object {
        format: 1,
        verdict: verdict_object(source, verdict),
        judgements: verdict.judged.iter().map(|j| judgement(source, j)).collect(),
        ask_next: verdict
            .ask_next
            .iter()
            .map(|ask| AskObject {
                commands: ask.commands.iter().map(|c| (*c).into()).collect(),
                question: ask.question.map(Into::into),
                why: ask.why.into(),
                settles: ask.settles.iter().map(|s| (*s).into()).collect(),
                changes: ask.changes,
                if_not_enough: ask.if_not_enough,
            })
            .collect(),
        observed: observed(source, case),
        unread: unread::all(explanation).into_iter().map(|u| not_understood(source, u)).collect(),
        unread_more: unread::more(explanation),
        remarks: verdict
            .remarks
            .iter()
            .map(|r| RemarkObject {
                kind: r.kind,
                text: source.word(&r.text),
                evidence: evidence(source, &r.evidence),
            })
            .collect(),
        devices: devices(explanation),
        team: verdict.team.iter().map(team_line).collect(),
        returning: returning.as_ref().map(|d| decision(source, d)),
    }
}

fn verdict_object(source: &Source<'_>, verdict: &Verdict) -> VerdictObject {
    VerdictObject {
        finding: verdict.id().into(),
        kind_of: verdict.root().and_then(|j| j.rule.kind_of).map(|rule| rule.id.into()),
        certainty: verdict.certainty,
        summary: source.word(&verdict.summary),
        acts: verdict.acts,
        state: source.word(&verdict.state),
    }
}

/// The object for the checks before a return.
fn decision(source: &Source<'_>, decision: &Decision) -> ReturnObject {
    let check = |check: &Check| CheckObject {
        name: check.name.into(),
        what: check.what.into(),
        how: check.how.into(),
        state: match check.state {
            State::Clear(_) => CheckState::Clear,
            State::Found(_) => CheckState::Trouble,
            State::Reported => CheckState::Reported,
            State::Open => CheckState::Open,
        },
        evidence: match &check.state {
            State::Found(e) | State::Clear(Some(e)) => Some(one(source, e)),
            _ => None,
        },
        caution: check.caution.map(Into::into),
    };
    ReturnObject {
        advice: decision.advice,
        sentence: source.word(&decision.sentence),
        for_the_maker: source.word(&decision.for_the_maker),
        checks: decision.checks.iter().map(check).collect(),
    }
}

/// Every modem where there are several.
fn devices(explanation: &Explanation<'_>) -> Vec<DeviceObject> {
    let Explanation { source, devices, .. } = explanation;
    if devices.len() < 2 {
        return Vec::new();
    }
    let object = |device: &Device| DeviceObject {
        equipment: device.number().map(|n| source.word(&n.value)),
        line: device.number().map(|n| source.line_of(n.span.start)),
        verdict: verdict_object(source, &device.verdict),
    };
    devices.iter().map(object).collect()
}

fn not_understood(source: &Source<'_>, unread: &Unread) -> UnreadObject {
    let extract = source.extract(unread.span);
    UnreadObject {
        file: extract.part.clone(),
        line: extract.place.line,
        text: extract.marked().into(),
        why: unread.why,
        request: unread.request.as_deref().map(|r| source.word(r)),
        note: unread.error.map(|_| unread::reason(unread)),
    }
}

fn team_line(line: &TeamLine) -> TeamObject {
    let plain = |kind, by: Option<&str>, text: &str| TeamObject {
        kind,
        by: by.map(Into::into),
        text: text.into(),
        commands: Vec::new(),
        changes: false,
        caution: None,
    };
    match line {
        TeamLine::Note(note) => plain(TeamKind::Note, None, note),
        TeamLine::Contact(role, contact) => plain(TeamKind::Contact, Some(role.word()), contact),
        TeamLine::Experience(sentence) => plain(TeamKind::Experience, None, sentence),
        TeamLine::Step(step) => TeamObject {
            commands: step.commands.clone(),
            changes: step.changes,
            caution: step.caution.clone(),
            ..plain(TeamKind::Step, Some(&step.by), &step.text)
        },
    }
}

fn judgement(source: &Source<'_>, judged: &Judged) -> JudgementObject {
    let answer = match judged.judgement {
        Judgement::Holds { .. } => Answer::Holds,
        Judgement::RuledOut(_) => Answer::RuledOut,
        Judgement::Open => Answer::Open,
    };
    JudgementObject {
        id: judged.rule.id.into(),
        kind_of: judged.rule.kind_of.map(|rule| rule.id.into()),
        judgement: answer,
        certainty: judged.certainty(),
        because_of: judged.because_of.map(Into::into),
        summary: source.word(judged.summary()),
        clause: judged.rule.clause.into(),
        evidence: evidence(source, judged.evidence()),
        actions: judged.remedies.iter().map(action).collect(),
        settled_by: judged.settled_by.iter().map(|read| (*read).into()).collect(),
    }
}

fn evidence(source: &Source<'_>, list: &[Evidence]) -> Vec<EvidenceObject> {
    list.iter().map(|e| one(source, e)).collect()
}

fn one(source: &Source<'_>, e: &Evidence) -> EvidenceObject {
    let extract = source.extract(e.span);
    EvidenceObject {
        file: extract.part.clone(),
        line: extract.place.line,
        column: extract.place.column,
        text: extract.marked().into(),
        says: source.word(&e.says),
    }
}

fn action(action: &Remedy) -> ActionObject {
    ActionObject {
        by: action.by,
        text: action.text.into(),
        commands: action.commands.iter().map(ToString::to_string).collect(),
        changes: action.changes,
        caution: action.caution.map(Into::into),
    }
}

fn observed(source: &Source<'_>, case: &Case) -> Vec<ObservedObject> {
    let object = |quantity: Quantity, value, span: Span, cell: Cell, port| ObservedObject {
        file: source.part_of(span.start).map(Into::into),
        quantity: quantity.name().into(),
        value,
        cell: match cell {
            Cell::Serving => None,
            Cell::Secondary => Some(CellRole::Secondary),
            Cell::Neighbour => Some(CellRole::Neighbour),
        },
        port,
        line: source.line_of(span.start),
    };
    let readings = case.radio.readings.all().iter().filter_map(|o| {
        let value = match &o.value.value {
            Value::Number(Some(n)) => number(*n),
            Value::Number(None) => return None,
            Value::Word(word) => ObservedValue::Text(source.word(word)),
        };
        Some((o.order, object(o.value.quantity, value, o.span, o.value.cell, None)))
    });
    let ports = case.radio.antenna_ports.all().iter().filter_map(|o| {
        let (port, quantity, value) = o.value;
        Some((o.order, object(quantity, number(value?), o.span, Cell::Serving, Some(port))))
    });
    let mut all: Vec<_> = readings.chain(ports).collect();
    all.sort_by_key(|(order, _)| *order);
    all.into_iter().map(|(_, object)| object).collect()
}

/// Whole numbers without a point.
fn number(n: f64) -> ObservedValue {
    const EXACT: f64 = 9_007_199_254_740_992.0;
    if n.fract() == 0.0 && n.abs() < EXACT {
        #[expect(clippy::cast_possible_truncation, reason = "whole and below 2^53")]
        let whole = n as i64;
        ObservedValue::Whole(whole)
    } else {
        ObservedValue::Number(n)
    }
}
