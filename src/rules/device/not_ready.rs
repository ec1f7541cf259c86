#![doc = include_str!("not_ready.md")]

use crate::case::{History, Observation};
use crate::case::{Registration, Sim};
use crate::rules::registration_status::just_started;
use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, RegistrationStatus, Rule, Site, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "device/not-ready",
    asks: "Is the modem, or its card, still starting?",
    settled_by: &[&reads::CARD, &reads::VERBOSE],
    commonness: 4,
    follow_up: &[&reads::CARD_AGAIN, &reads::EPS_STATE, &reads::RADIO],
    question: Some("How long after power-on was this read, and what does the same read give a minute later?"),
    clause: "TS 27.007 §9.2 (14, SIM busy)",
    acts: Acts::Nobody,
    actions: &[Action::step(
        Acts::Nobody,
        "Wait half a minute after power-on, for the registration some minutes, and read again; the last answer counts.",
    )
    .reading(&["AT+CPIN?", "AT+CEREG?"])],
    explains: &[Consequence::Rule(&crate::rules::radio::no_signal::RULE), Consequence::Rule(&crate::rules::registration::idle::RULE), Consequence::Rule(&crate::rules::registration::searching::RULE)],
    page: include_str!("not_ready.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    let read_since = |order| {
        let numbers = [site.card.imsi.latest(), site.card.iccid.latest()];
        numbers.into_iter().flatten().find(|o| o.order > order)
    };
    let busy = site.card.state.latest().filter(|o| o.value == Sim::Busy);
    if let Some(read) = busy.and_then(|o| read_since(o.order)) {
        return Judgement::RuledOut(read.says("the card was read afterwards"));
    }
    match site.card.state.latest() {
        // A card that is still starting is ready after some seconds; one that is asked in vain again and again is not.
        Some(o) if o.value == Sim::Busy && is_asked_in_vain(site, o.order) => Judgement::Open,
        Some(o) if o.value == Sim::Busy => holds(
            Certainty::Likely,
            "The card was still busy when it was asked.",
            vec![o.says("not ready yet")],
        ),
        card => match (read_early(site), card) {
            (Some(o), _) => holds(
                Certainty::Possible,
                "The state was read a moment after the start; a first search takes minutes.",
                vec![o.says("read a moment after the start")],
            ),
            (None, Some(o)) => Judgement::RuledOut(o.says("the card has answered")),
            (None, None) => Judgement::Open,
        },
    }
}

/// Whether the card was asked for its state at least twice since, and ended in an error each time.
fn is_asked_in_vain(site: &Site<'_>, since: usize) -> bool {
    let failed = site.exchanges.failures.all().iter();
    let of_card =
        failed.filter(|o| o.order > since && o.value.command.eq_ignore_ascii_case("+CPIN?"));
    of_card.count() >= 2
}

/// The latest state of registration, where it says nothing yet and was read right behind a start.
fn read_early<'a>(site: &Site<'a>) -> Option<&'a Observation<Registration>> {
    let latest = site
        .case
        .registration
        .states
        .values()
        .filter_map(History::latest)
        .max_by_key(|o| o.order)?;
    let nothing_yet = matches!(
        RegistrationStatus::of(latest.value.stat),
        RegistrationStatus::Idle | RegistrationStatus::Searching
    );
    Some(latest).filter(|o| nothing_yet && just_started(site, o.order))
}
