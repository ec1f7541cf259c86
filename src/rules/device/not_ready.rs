#![doc = include_str!("not_ready.md")]

use crate::reply::Sim;
use crate::rules::{Action, Acts, Certainty, Judgement, Rule, Site, holds, online};

pub(super) static RULE: Rule = Rule {
    id: "device/not-ready",
    asks: "Is the modem, or its card, still starting?",
    needs: &["AT+CPIN?"],
    clause: "TS 27.007 §9.2 (14, SIM busy)",
    acts: Acts::Nobody,
    actions: &[Action::step(
        Acts::Nobody,
        "Wait half a minute after power-on and read again; the last answer counts.",
    )
    .reading(&["AT+CPIN?"])],
    explains: &["radio/no-signal", "registration/idle", "registration/searching"],
    page: include_str!("not_ready.md"),
    judge,
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = online(site) {
        return Judgement::RuledOut(vec![evidence]);
    }
    match site.sim.latest() {
        Some(o) if o.value == Sim::Busy => holds(
            Certainty::Likely,
            "The card was still busy when it was asked.",
            vec![o.says("not ready yet")],
        ),
        Some(o) => Judgement::RuledOut(vec![o.says("the card has answered")]),
        None => Judgement::Open,
    }
}
