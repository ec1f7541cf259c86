//! The machine-readable verdict; its schema is printed by `mastside schema`.

use super::Source;
use crate::case::{Case, Evidence, Value};
use crate::case::{Cell, Quantity};
use crate::rules::{Action, Judgement};
use crate::span::Span;
use crate::verdict::returns::{Check, Decision, State};
use crate::verdict::{Judged, TeamLine, Verdict};
use schemars::JsonSchema;
use serde::Serialize;

/// The whole object.
#[derive(Debug, Serialize, JsonSchema)]
pub struct Explanation {
    /// The version of this form: 1.
    pub format: u8,
    /// What it comes to.
    pub verdict: VerdictObject,
    /// The answer of every rule, from the bottom layer up.
    pub judgements: Vec<JudgementObject>,
    /// What to ask next, in order.
    pub ask_next: Vec<AskObject>,
    /// Every value that was read, in order; values that the modem did not know are left out.
    pub observed: Vec<ObservedObject>,
    /// What is worth knowing beside the cause.
    pub remarks: Vec<RemarkObject>,
    /// What the team's own file adds to the cause; left out where it adds nothing.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schemars(default)]
    pub team: Vec<TeamObject>,
    /// The checks before hardware is sent back, where they were asked for.
    #[serde(rename = "return", skip_serializing_if = "Option::is_none")]
    #[schemars(default)]
    pub returning: Option<ReturnObject>,
}

/// Whether a return is justified.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ReturnObject {
    /// `no`, `not-yet` or `yes`.
    pub advice: String,
    /// One sentence for the technician.
    pub sentence: String,
    /// One sentence for the maker's desk.
    pub for_the_maker: String,
    /// The checks, in order.
    pub checks: Vec<CheckObject>,
}

/// One check before a return.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CheckObject {
    /// Its short name.
    pub name: String,
    /// What is checked.
    pub what: String,
    /// How to do it.
    pub how: String,
    /// `clear`, `trouble`, `told` (by word alone) or `open`.
    pub state: String,
    /// The line that shows it.
    pub evidence: Option<EvidenceObject>,
    /// A caution that belongs beside it.
    pub caution: Option<String>,
}

/// A line of the team's own.
#[derive(Debug, Serialize, JsonSchema)]
pub struct TeamObject {
    /// `note`, `step` or `contact`.
    pub kind: String,
    /// The role, for steps and contacts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// The words.
    pub text: String,
    /// Commands of a step.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schemars(default)]
    pub commands: Vec<String>,
    /// Whether a step changes something that lasts.
    pub changes: bool,
    /// A caution that belongs beside a step.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub caution: Option<String>,
}

/// The verdict.
#[derive(Debug, Serialize, JsonSchema)]
pub struct VerdictObject {
    /// `layer/cause`, `connected` or `unclear`.
    pub finding: String,
    /// `certain`, `likely` or `possible`.
    pub certainty: String,
    /// One sentence.
    pub summary: String,
    /// Who can act: `installer`, `carrier`, `account-holder`, `maker` or `nobody`.
    pub acts: String,
    /// Where the modem stands.
    pub state: String,
}

/// One rule's answer.
#[derive(Debug, Serialize, JsonSchema)]
pub struct JudgementObject {
    /// `layer/cause`
    pub id: String,
    /// `holds`, `ruled-out` or `open`.
    pub judgement: String,
    /// How sure, where it holds.
    pub certainty: Option<String>,
    /// The finding that explains this one.
    pub because_of: Option<String>,
    /// The sentence where it holds, else the question.
    pub summary: String,
    /// Where the rule comes from.
    pub clause: String,
    /// The lines that it stands on.
    pub evidence: Vec<EvidenceObject>,
    /// What to do, where it holds.
    pub actions: Vec<ActionObject>,
    /// Reads that would settle it, where it is open.
    pub settled_by: Vec<String>,
}

/// A line that shows something.
#[derive(Debug, Serialize, JsonSchema)]
pub struct EvidenceObject {
    /// The text that it stands in, where several were put together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// The line in the text, from 1.
    pub line: usize,
    /// The character in the line, from 1.
    pub column: usize,
    /// What stands there, identities masked unless asked otherwise.
    pub text: String,
    /// What it says.
    pub says: String,
}

/// Something to do.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ActionObject {
    /// Who does it.
    pub by: String,
    /// What to do.
    pub text: String,
    /// Commands for it.
    pub commands: Vec<String>,
    /// Whether it changes something that lasts.
    pub changes: bool,
    /// A caution that belongs beside it.
    pub caution: Option<String>,
}

/// A question to the modem.
#[derive(Debug, Serialize, JsonSchema)]
pub struct AskObject {
    /// The commands, in order.
    pub commands: Vec<String>,
    /// What they would tell.
    pub why: String,
    /// The rules that they would settle.
    pub settles: Vec<String>,
    /// Whether they change something that lasts.
    pub changes: bool,
}

/// A value that was read.
#[derive(Debug, Serialize, JsonSchema)]
pub struct ObservedObject {
    /// The text that it stands in, where several were put together.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// Its name, which carries the unit.
    pub quantity: String,
    /// Its value: a number, or text for codes and names.
    pub value: serde_json::Value,
    /// `secondary` or `neighbour`; left out for the serving cell.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cell: Option<String>,
    /// The antenna port from 0, for a level of one port.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub port: Option<u8>,
    /// The line in the text, from 1.
    pub line: usize,
}

/// A remark.
#[derive(Debug, Serialize, JsonSchema)]
pub struct RemarkObject {
    /// `reserve`, `doubt`, `history`, `setting`, `profile` or `text`.
    pub kind: String,
    /// The sentence.
    pub text: String,
    /// The lines behind it.
    pub evidence: Vec<EvidenceObject>,
}

/// Builds the object for a verdict on a case read from `source`.
pub fn explanation(source: &Source<'_>, case: &Case, verdict: &Verdict) -> Explanation {
    Explanation {
        format: 1,
        verdict: VerdictObject {
            finding: verdict.id().into(),
            certainty: verdict.certainty.word().into(),
            summary: source.word(&verdict.summary),
            acts: verdict.acts.word().into(),
            state: source.word(&verdict.state),
        },
        judgements: verdict.judged.iter().map(|j| judgement(source, j)).collect(),
        ask_next: verdict
            .ask_next
            .iter()
            .map(|ask| AskObject {
                commands: ask.commands.iter().map(|c| (*c).into()).collect(),
                why: ask.why.into(),
                settles: ask.settles.iter().map(|s| (*s).into()).collect(),
                changes: ask.changes,
            })
            .collect(),
        observed: observed(source, case),
        remarks: verdict
            .remarks
            .iter()
            .map(|r| RemarkObject {
                kind: r.kind.word().into(),
                text: source.word(&r.text),
                evidence: evidence(source, &r.evidence),
            })
            .collect(),
        team: verdict.team.iter().map(team_line).collect(),
        returning: None,
    }
}

/// The object for the checks before a return.
pub fn decision(source: &Source<'_>, decision: &Decision) -> ReturnObject {
    let check = |check: &Check| CheckObject {
        name: check.name.into(),
        what: check.what.into(),
        how: check.how.into(),
        state: check.state.word().into(),
        evidence: match &check.state {
            State::Found(e) | State::Clear(Some(e)) => Some(one(source, e)),
            _ => None,
        },
        caution: check.caution.map(Into::into),
    };
    ReturnObject {
        advice: decision.advice.word().into(),
        sentence: source.word(&decision.sentence),
        for_the_maker: source.word(&decision.for_the_maker),
        checks: decision.checks.iter().map(check).collect(),
    }
}

fn team_line(line: &TeamLine) -> TeamObject {
    let plain = |kind: &str, by: Option<&str>, text: &str| TeamObject {
        kind: kind.into(),
        by: by.map(Into::into),
        text: text.into(),
        commands: Vec::new(),
        changes: false,
        caution: None,
    };
    match line {
        TeamLine::Note(note) => plain("note", None, note),
        TeamLine::Contact(role, contact) => plain("contact", Some(role.word()), contact),
        TeamLine::Step(step) => TeamObject {
            commands: step.commands.clone(),
            changes: step.changes,
            caution: step.caution.clone(),
            ..plain("step", Some(&step.by), &step.text)
        },
    }
}

fn judgement(source: &Source<'_>, judged: &Judged) -> JudgementObject {
    let holds = matches!(judged.judgement, Judgement::Holds { .. });
    JudgementObject {
        id: judged.rule.id.into(),
        judgement: judged.judgement.word().into(),
        certainty: judged.certainty().map(|c| c.word().into()),
        because_of: judged.because_of.map(Into::into),
        summary: source.word(judged.summary()),
        clause: judged.rule.clause.into(),
        evidence: evidence(source, judged.evidence()),
        actions: if holds { judged.rule.actions.iter().map(action).collect() } else { Vec::new() },
        settled_by: judged.settled_by.iter().map(|read| (*read).into()).collect(),
    }
}

fn evidence(source: &Source<'_>, list: &[Evidence]) -> Vec<EvidenceObject> {
    list.iter().map(|e| one(source, e)).collect()
}

fn one(source: &Source<'_>, e: &Evidence) -> EvidenceObject {
    let extract = source.extract(e);
    EvidenceObject {
        file: extract.part.clone(),
        line: extract.place.line,
        column: extract.place.column,
        text: extract.marked().into(),
        says: source.word(&e.says),
    }
}

fn action(action: &Action) -> ActionObject {
    ActionObject {
        by: action.by.word().into(),
        text: action.text.into(),
        commands: action.commands.iter().map(|c| (*c).into()).collect(),
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
            Cell::Secondary => Some("secondary".into()),
            Cell::Neighbour => Some("neighbour".into()),
        },
        port,
        line: source.line_of(span.start),
    };
    let readings = case.radio.readings.all().iter().filter_map(|o| {
        let value = match &o.value.value {
            Value::Number(Some(n)) => number(*n),
            Value::Number(None) => return None,
            Value::Word(word) => source.word(word).into(),
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
fn number(n: f64) -> serde_json::Value {
    const EXACT: f64 = 9_007_199_254_740_992.0;
    if n.fract() == 0.0 && n.abs() < EXACT {
        #[expect(clippy::cast_possible_truncation, reason = "whole and below 2^53")]
        let whole = n as i64;
        whole.into()
    } else {
        n.into()
    }
}
