//! The reason that the network gave, as every rule of the layer asks for it.

use crate::case::{Observation, Reject};
use crate::reference::causes::{self, CauseList, Retries};
use crate::rules::{Certainty, Judgement, Read, Rule, Site, holds, reads};

/// The clauses of the causes.
pub(super) const CAUSES: &str =
    "TS 24.301 §9.9.3.9; TS 24.008 §10.5.5.14, §10.5.3.6; TS 24.501 §9.11.3.2";

/// The reads of the reject cause.
const REASONS: &[&Read] = &[&reads::REASON, &reads::REASON_5G, &reads::LAST_FAILURE];

/// What to ask once an area or roaming is refused: whose card it is, in which network, and which others are
/// heard.
pub(super) const WHERE: &[&Read] =
    &[&reads::IDENTITY, &reads::CHOICE, &reads::SEARCH, &reads::FORBIDDEN];

/// What the causes that the network names have in common: where they stand, what follows, and what to ask once one is
/// known: whose card it is, in which network, and which networks it has closed to itself.
pub(super) const BLANK: Rule = Rule {
    settled_by: REASONS,
    clause: CAUSES,
    follow_up: &[&reads::IDENTITY, &reads::CHOICE, &reads::CARD_NUMBER, &reads::LAST_FAILURE],
    explains: super::consequences::AFTER_REFUSAL,
    ..Rule::BLANK
};

/// Whether the latest cause that the network gave is one that a rule owns.
///
/// What the cause means and what the modem does next comes from the table of causes.
pub(super) fn refused(
    site: &Site<'_>,
    owns: fn(CauseList, u8) -> bool,
    summary: &str,
) -> Judgement {
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    let Some(o) = latest_reject(site) else { return Judgement::Open };
    let Reject { kind: list, cause: number, history } = o.value;
    let row = causes::assigned(list, number);
    let title = format!("{} cause {number} ({})", list.name(), list.clause());
    if !owns(list, number) {
        return Judgement::RuledOut(o.says(format!("{title}: another cause")));
    }
    let meaning = row.map_or("not assigned", |row| row.meaning);
    let next = match row.map(|row| row.retries) {
        Some(Retries::No) => {
            " The modem does not try again until it is switched off or the card is changed."
        }
        Some(Retries::Changed) => " The modem does not try again until its settings change.",
        _ => "",
    };
    let certainty = if history { Certainty::Likely } else { Certainty::Certain };
    holds(certainty, format!("{summary}{next}"), vec![o.says(format!("{title}: {meaning}"))])
}

/// The latest cause that concerns the device, not a session.
pub(super) fn latest_reject<'a>(site: &Site<'a>) -> Option<&'a Observation<Reject>> {
    site.case.registration.rejects.current().iter().rev().find(|o| !o.value.kind.is_session())
}
