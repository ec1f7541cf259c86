#![doc = include_str!("port_silent.md")]

use crate::case::Case;
use crate::case::{Evidence, Host, ReportedBy};
use crate::rules::{
    Action, Acts, Certainty, Check, Consequence, Judgement, Layer, PRACTICE, Rule, Site, holds,
    reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "host/port-silent",
    asks: "Does anything answer AT on the port?",
    settled_by: &[&reads::ALIVE],
    follow_up: &[&reads::ALIVE],
    commonness: 3,
    check: Some(Check::Port),
    question: Some("How is the modem fed and connected, and do its lamps show that it runs?"),
    clause: PRACTICE,
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Check power and start-up of the modem, the transmit and receive lines, the \
             speed of the port, and whether another port of the same modem is the one that \
             answers.",
        )
        .reading(&["AT"]),
        Action::step(
            Acts::Installer,
            "Switch the supply off, wait ten seconds, switch it on, wait a minute, and send AT again.",
        ),
    ],
    explains: &[
        Consequence::Layer(Layer::Device),
        Consequence::Layer(Layer::Card),
        Consequence::Layer(Layer::Radio),
        Consequence::Layer(Layer::Registration),
        Consequence::Layer(Layer::Bearer),
        Consequence::Layer(Layer::Path),
    ],
    page: include_str!("port_silent.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = fell_silent(site) {
        return holds(
            Certainty::Likely,
            "The modem answered, and then no longer: it restarted, lost its supply, or left the port.",
            vec![evidence],
        );
    }
    if let Some(evidence) = super::port::answered(site) {
        return Judgement::RuledOut(evidence);
    }
    let summary = "Commands go out and nothing answers on this port.";
    let said = |what: Host| site.host.reports.all().iter().rev().find(move |o| o.value == what);
    if let Some(o) = said(Host::SaidSilent) {
        return holds(
            Certainty::Likely,
            summary,
            vec![o.says("the text says that nothing answers")],
        );
    }
    // A program that reads in vain again and again need not log what it sent.
    let reads = site.host.reports.all().iter().filter(|o| o.value == Host::Silent).count();
    if let Some(o) = said(Host::Silent).filter(|_| site.dialogue.unanswered >= 1 || reads >= 3) {
        return holds(
            Certainty::Likely,
            summary,
            vec![o.says("an answer was awaited and none came")],
        );
    }
    // One command without an answer may be a cut text; three are none.
    match site.dialogue.unanswered_at {
        Some(span) if site.dialogue.unanswered >= 3 => {
            let says =
                format!("the last of {} commands without an answer", site.dialogue.unanswered);
            holds(
                Certainty::Likely,
                summary,
                vec![Evidence { span, says: says.into(), by: ReportedBy::Host }],
            )
        }
        _ => Judgement::Open,
    }
}

/// The end of a dialogue that began with responses: several commands in a row without one, or a
/// device that left and did not return.
pub(crate) fn fell_silent(case: &Case) -> Option<Evidence> {
    let answered = case.dialogue.last_answer?;
    let left = case
        .host
        .reports
        .latest()
        .filter(|o| o.value == Host::Gone && o.span.end >= answered.start);
    if let Some(left) = left {
        return Some(left.says("the device left, and did not come back"));
    }
    // One command without an answer may be a cut text; four are none.
    let span = case.dialogue.unanswered_at.filter(|_| case.dialogue.unanswered >= 4)?;
    let says =
        format!("the last of {} commands in a row without a response", case.dialogue.unanswered);
    Some(Evidence { span, says: says.into(), by: ReportedBy::Host })
}
