#![doc = include_str!("port_silent.md")]

use crate::case::Evidence;
use crate::case::Host;
use crate::rules::{Action, Acts, Certainty, Judgement, PRACTICE, Rule, Site, holds};

pub(super) static RULE: Rule = Rule {
    id: "host/port-silent",
    asks: "Does anything answer AT on the port?",
    needs: &["AT"],
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
    explains: &["device/", "card/", "radio/", "registration/", "bearer/", "path/"],
    page: include_str!("port_silent.md"),
    judge,
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = super::answered(site) {
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
    if let Some(o) = said(Host::Silent).filter(|_| site.dialogue.unanswered >= 1) {
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
            holds(Certainty::Likely, summary, vec![Evidence { span, says: says.into() }])
        }
        _ => Judgement::Open,
    }
}
