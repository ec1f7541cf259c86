//! The host layer: the port, and whether anything answers there.

pub(super) mod no_at_port;
pub(super) mod no_modem;
pub(super) mod port_busy;
pub(super) mod port_denied;
pub(super) mod port_not_at;
pub(super) mod port_silent;

use super::{Certainty, Judgement, Site, holds};
use crate::case::{Evidence, Host, ReportedBy};

use super::{Consequence, Layer, Rule};

/// What follows where no AT dialogue is to be had.
const WITHOUT_PORT: &[Consequence] = &[
    Consequence::Rule(&port_silent::RULE),
    Consequence::Layer(Layer::Device),
    Consequence::Layer(Layer::Card),
    Consequence::Layer(Layer::Radio),
    Consequence::Layer(Layer::Registration),
    Consequence::Layer(Layer::Bearer),
    Consequence::Layer(Layer::Path),
];

pub(super) static RULES: &[&Rule] = &[
    &no_modem::RULE,
    &no_at_port::RULE,
    &port_busy::RULE,
    &port_denied::RULE,
    &port_not_at::RULE,
    &port_silent::RULE,
];

/// An answer of a modem, which rules out every trouble of the port.
fn answered(site: &Site<'_>) -> Option<Evidence> {
    let span = site.dialogue.answered_at?;
    Some(Evidence { span, says: "a modem answered".into(), by: ReportedBy::Modem })
}

/// What the computer itself said about the port; an answer after it outweighs it.
fn told(site: &Site<'_>, what: &[Host], summary: &'static str) -> Judgement {
    let said = site.host.reports.all().iter().rev().find(|o| what.contains(&o.value));
    let answered_since =
        site.dialogue.last_answer.filter(|a| said.is_none_or(|o| a.start > o.span.start));
    if let Some(evidence) = answered_since.and_then(|_| answered(site)) {
        return Judgement::RuledOut(evidence);
    }
    match said {
        Some(o) => holds(Certainty::Certain, summary, vec![o.says("the computer's own message")]),
        None => Judgement::Open,
    }
}
