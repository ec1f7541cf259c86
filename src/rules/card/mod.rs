//! The card layer: whether it is seen, works, and is unlocked.

mod failure;
mod forbidden_list;
mod identifier;
mod lock;
mod no_profile;
mod not_detected;
mod pin_attempts_low;
mod pin_required;
mod puk_required;

use super::registration_status::{card_state, refusal};
use super::{Certainty, Judgement, Site, holds};
use crate::case::Sim;

use super::Rule;

/// What follows where the card cannot be used.
const WITHOUT_CARD: &[&str] = &["registration/", "radio/no-signal", "bearer/", "path/"];

pub(super) static RULES: &[&Rule] = &[
    &not_detected::RULE,
    &failure::RULE,
    &puk_required::RULE,
    &pin_required::RULE,
    &pin_attempts_low::RULE,
    &lock::RULE,
    &no_profile::RULE,
    &identifier::RULE,
    &forbidden_list::RULE,
];

/// Whether the latest state of the card fits.
fn state(
    site: &Site<'_>,
    fits: fn(Sim) -> bool,
    summary: &'static str,
    says: &'static str,
) -> Judgement {
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    let Some(o) = card_state(site) else {
        return match site.card.imsi.latest() {
            Some(o) => Judgement::RuledOut(o.says("the card was read")),
            None => refusal(site).map_or(Judgement::Open, Judgement::RuledOut),
        };
    };
    // A reason that the network gives takes a card whose identity it was told.
    let read = site.card.imsi.latest().map(|i| (i.order, i.says("the card was read afterwards")));
    let heard = site.registration.rejects.latest().filter(|r| !r.value.history);
    let heard = heard.map(|r| (r.order, r.says("afterwards the network answered this card")));
    let used_since = read.into_iter().chain(heard).find(|(order, _)| *order > o.order);
    match (fits(o.value), used_since) {
        (true, Some((_, evidence))) => Judgement::RuledOut(evidence),
        (true, None) => holds(Certainty::Certain, summary, vec![o.says(says)]),
        (false, _) if o.value == Sim::Busy => Judgement::Open,
        (false, _) => Judgement::RuledOut(o.says("the latest state of the card is another")),
    }
}
