//! What the rules of the card share: its state, what follows from it, what to ask then.

use crate::case::{Observation, ReportedBy, Sim};
use crate::rules::registration_status::{card_state, refusal};
use crate::rules::{Certainty, Consequence, Judgement, Layer, Read, Site, holds, reads};

/// What follows where the card cannot be used.
pub(super) const WITHOUT_CARD: &[Consequence] = &[
    Consequence::Layer(Layer::Registration),
    Consequence::Rule(&crate::rules::radio::no_signal::RULE),
    Consequence::Layer(Layer::Bearer),
    Consequence::Layer(Layer::Path),
];

/// What to ask once the trouble lies with the card.
pub(super) const FOLLOW_UP: &[&Read] = &[
    &reads::CARD_AGAIN,
    &reads::VERBOSE,
    &reads::DETECTION,
    &reads::SLOT,
    &reads::RADIO,
    &reads::IDENTITY,
];

/// Whether the latest state of the card fits.
pub(super) fn state(
    site: &Site<'_>,
    fits: fn(Sim) -> bool,
    summary: &'static str,
    says: &'static str,
) -> Judgement {
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    // A host that got no answer has nothing from the card either, whatever it concludes.
    let unheard = site.dialogue.answered == 0 && site.dialogue.unanswered > 1;
    let state = card_state(site).filter(|o| !is_of_a_lock_command(site, o));
    let state = state.filter(|o| !unheard || o.by == ReportedBy::Modem);
    let Some(o) = state else {
        return match site.card.imsi.latest() {
            Some(o) => Judgement::RuledOut(o.says("the card was read")),
            None => refusal(site).map_or(Judgement::Open, Judgement::RuledOut),
        };
    };
    // A code that was accepted since changes what the card waits for.
    let waits = matches!(o.value, Sim::PinRequired | Sim::PukRequired);
    let accepted = site.dialogue.last_set("+CPIN").is_some_and(|(_, well)| well);
    if waits && accepted && !site.dialogue.shows("+CPIN?") {
        return Judgement::Open;
    }
    // A lock of the device leaves the card itself readable.
    if fits(o.value) && matches!(o.value, Sim::Locked(_)) {
        return holds(Certainty::Certain, summary, vec![o.says(says)]);
    }
    // A cause from the network shows a card whose identity was read.
    let read = site.card.imsi.latest().map(|i| (i.order, i.says("the card was read afterwards")));
    let heard = site.registration.rejects.latest().filter(|r| !r.value.history);
    let heard = heard.map(|r| (r.order, r.says("afterwards the network answered this card")));
    let used_since = read.into_iter().chain(heard).find(|(order, _)| *order > o.order);
    match (fits(o.value), used_since) {
        (true, Some((_, evidence))) => Judgement::RuledOut(evidence),
        (true, None) => {
            // A host may guess what it did not ask.
            let sure = match o.by {
                ReportedBy::Modem => Certainty::Certain,
                _ => Certainty::Likely,
            };
            holds(sure, summary, vec![o.says(says)])
        }
        (false, _) if o.value == Sim::Busy => Judgement::Open,
        (false, _) => Judgement::RuledOut(o.says("the latest state of the card is another")),
    }
}

/// Whether a failure of the card is the error that a command for locks and passwords ended with: it refuses that
/// command, and says nothing of the card.
fn is_of_a_lock_command(site: &Site<'_>, o: &Observation<Sim>) -> bool {
    let failed = site.exchanges.failures.all().iter().find(|f| f.span == o.span);
    let of_lock = |c: &str| ["+CLCK", "+CPWD"].iter().any(|name| c.starts_with(name));
    matches!(o.value, Sim::Failure | Sim::Wrong)
        && failed.is_some_and(|f| of_lock(&f.value.command))
}
