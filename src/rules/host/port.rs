//! What the computer reports about the port, and whether a modem answers on it.

use crate::case::{Evidence, Host, ReportedBy};
use crate::rules::{Certainty, Judgement, Site, holds};

/// An answer of a modem, which rules out every trouble of the port.
pub(super) fn answered(site: &Site<'_>) -> Option<Evidence> {
    let span = site.dialogue.answered_at?;
    Some(Evidence { span, says: "a modem answered".into(), by: ReportedBy::Modem })
}

/// What the computer itself said about the port; an answer after it outweighs it.
pub(super) fn reported(site: &Site<'_>, what: &[Host], summary: &'static str) -> Judgement {
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
