#![doc = include_str!("restarts.md")]

use crate::case::{Evidence, Holder, Host, Power, ReportedBy, Sim};
use crate::case::{History, Observation};
use crate::rules::{
    Action, Acts, Certainty, Check, Consequence, Judgement, Layer, PRACTICE, Rule, SUPPLY, Site,
    bearer_up, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "device/restarts",
    asks: "Does the modem restart by itself?",
    settled_by: &[&reads::SUPPLY_VOLTAGE],
    commonness: 5,
    check: Some(Check::Supply),
    beside_connection: true,
    question: Some("How is the modem fed, and does it restart when it transmits or also when it rests?"),
    clause: PRACTICE,
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Measure the supply at the modem while it transmits: short peaks of 2 A must not pull it below its limit. \
             Shorten and thicken the feed, and check the plug.",
        )
        .with_care(SUPPLY),
        Action::step(
            Acts::Maker,
            "If it restarts on a bench supply too, ask for the firmware's release notes, then for a repair.",
        ),
    ],
    explains: &[
        Consequence::Rule(&crate::rules::host::no_modem::RULE),
        Consequence::Rule(&crate::rules::host::port_silent::RULE),
        Consequence::Rule(&super::not_ready::RULE),
        Consequence::Rule(&super::radio_off::RULE),
        Consequence::Layer(Layer::Card),
        Consequence::Layer(Layer::Radio),
        // A reason that the network gave has nothing to do with the supply.
        Consequence::Rule(&crate::rules::registration::idle::RULE),
        Consequence::Rule(&crate::rules::registration::searching::RULE),
        Consequence::Rule(&crate::rules::registration::denied::RULE),
        Consequence::Rule(&crate::rules::registration::emergency::RULE),
        Consequence::Rule(&crate::rules::registration::detached::RULE),
        Consequence::Rule(&crate::rules::registration::manual::RULE),
        Consequence::Rule(&crate::rules::registration::voice_centric::RULE),
        Consequence::Rule(&crate::rules::bearer::inactive::RULE),
        Consequence::Rule(&crate::rules::bearer::apn_blank::RULE),
        Consequence::Rule(&crate::rules::bearer::apn_mismatch::RULE),
        Consequence::Rule(&crate::rules::bearer::wrong_context::RULE),
        Consequence::Layer(Layer::Path),
    ],
    page: include_str!("restarts.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let marks = site.device.power.all();
    if let Some(o) = marks.iter().rev().find(|o| o.value == Power::LowVoltage) {
        return holds(
            Certainty::Certain,
            "The modem, or the board that feeds it, warns of low supply voltage.",
            vec![o.says("the supply sags below its limit")],
        );
    }
    if let Some(o) = site.device.radio_held.latest().filter(|o| o.value == Holder::Supply) {
        return holds(
            Certainty::Certain,
            "The modem keeps its radio off because of its supply voltage.",
            vec![o.says("the supply keeps the radio off")],
        );
    }
    let mut unordered = None;
    let mut ordered = true;
    let mut before: Option<&Observation<Power>> = None;
    for o in marks {
        match o.value {
            Power::HostRestart | Power::Down => ordered = true,
            Power::Started => {
                if !ordered && !before.is_some_and(|before| is_same_start(before, o)) {
                    unordered = Some(o);
                }
                ordered = false;
                before = Some(o);
            }
            _ => {}
        }
    }
    if let Some(span) = site.dialogue.started_inside.filter(|span| {
        let ordered = |o: &Observation<Power>| {
            matches!(o.value, Power::HostRestart | Power::Down) && o.span.start <= span.start
        };
        // A module that starts is asked before it is ready; one that was ready had started.
        let states = site.registration.states.values().flat_map(History::all);
        let ready = site.card.state.all().iter().filter(|o| o.value == Sim::Ready).map(|o| o.span);
        let mut before = ready.chain(states.map(|o| o.span));
        before.any(|o| o.start < span.start) && !marks.iter().any(ordered)
    }) {
        // One start that left a session open behind it is worth a remark, and no fault yet.
        let back = bearer_up(site).is_some_and(|bearer| bearer.span.start > span.start);
        return holds(
            if back { Certainty::Possible } else { Certainty::Likely },
            "The modem started over in the middle of the dialogue, and no command had ordered it.",
            vec![Evidence {
                span,
                says: "a start between a command and its result".into(),
                by: ReportedBy::Modem,
            }],
        );
    }
    // Nothing but a new start, of modem or card, makes a card forget that its PIN was given.
    let ready = site.card.state.all().iter().rev().find(|o| o.value == Sim::Ready);
    if let (Some(ready), Some(again)) = (ready, site.card.pin_asked_again.latest())
        && !marks.iter().any(|o| matches!(o.value, Power::HostRestart | Power::Down))
    {
        return holds(
            Certainty::Likely,
            "The PIN was accepted and is asked again: the modem, or its card, starts over in between.",
            vec![ready.says("the PIN was accepted"), again.says("asked again, says the person")],
        );
    }
    if let [first, .., last] = site.device.faults.all() {
        return holds(
            Certainty::Likely,
            "The modem fails inside and starts over, again and again.",
            vec![first.says("a failure inside the modem"), last.says("failed again")],
        );
    }
    let reports = site.host.reports.all();
    let gone: Vec<_> = reports.iter().filter(|o| o.value == Host::Gone).collect();
    if let [first, .., last] = gone.as_slice() {
        return holds(
            Certainty::Likely,
            "The modem leaves the USB bus and comes back, again and again.",
            vec![first.says("gone from the bus"), last.says("gone again")],
        );
    }
    let returned = |o: &&Observation<Host>| {
        gone.first().is_some_and(|g| o.order > g.order) && o.value == Host::Returned
    };
    if let (Some(left), Some(back)) = (gone.first(), reports.iter().find(returned)) {
        return holds(
            Certainty::Likely,
            "The modem left the USB bus and came back without an order of the host.",
            vec![left.says("gone from the bus"), back.says("back on the bus")],
        );
    }
    // The marks of starts in the text tell more than a person's word.
    if let Some(o) = site.device.said_restarts.latest().filter(|_| unordered.is_none()) {
        return holds(
            Certainty::Likely,
            "The modem starts over by itself, by a person's word.",
            vec![o.says("a person says that it starts over")],
        );
    }
    let first = marks.iter().find(|o| o.value == Power::Started);
    match (first, unordered) {
        (Some(first), Some(last)) => holds(
            Certainty::Likely,
            "The modem starts over by itself.",
            vec![first.says("a start"), last.says("another start that nobody ordered")],
        ),
        (Some(first), None)
            if marks.iter().any(|o| matches!(o.value, Power::HostRestart | Power::Down)) =>
        {
            Judgement::RuledOut(first.says("the starts in the text were ordered by the host"))
        }
        _ => Judgement::Open,
    }
}

/// Whether a start follows another so closely that it is the same, told twice: no modem starts up in
/// less than a second (common practice, no source).
fn is_same_start(before: &Observation<Power>, o: &Observation<Power>) -> bool {
    // A host prints again what it has just received.
    let printed_again = o.order == before.order + 1 && o.by != before.by;
    printed_again
        || matches!((before.at, o.at), (Some(before), Some(at)) if at.seconds_since(before) < 1.0)
}
