#![doc = include_str!("voice_centric.md")]

use crate::rules::{Action, Acts, Certainty, Judgement, Rule, Site, holds};

pub(super) static RULE: Rule = Rule {
    id: "registration/voice-centric",
    asks: "Does the usage setting make the modem leave the data network?",
    needs: &["AT+CEMODE?"],
    clause: "TS 27.007 §10.1.28; TS 24.301 §4.3",
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "Set the modem to data-centric use and restart its radio.",
    )
    .changing(&["AT+CEMODE=2"])],
    explains: &["registration/searching", "registration/idle", "bearer/", "path/"],
    page: include_str!("voice_centric.md"),
    judge,
};

fn judge(site: &Site<'_>) -> Judgement {
    let Some(o) = site.usage_mode.latest() else { return Judgement::Open };
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    match o.value {
        1 | 3 => holds(
            Certainty::Possible,
            "The modem is set to voice first, and leaves a network that offers it no voice.",
            vec![o.says("voice-centric")],
        ),
        _ => Judgement::RuledOut(o.says("data-centric")),
    }
}
