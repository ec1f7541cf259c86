#![doc = include_str!("technology.md")]

use crate::rules::standing::held_back;
use crate::rules::{
    Action, Acts, Certainty, Judgement, Rule, Site, Standing, holds, online, standing,
};

pub(super) static RULE: Rule = Rule {
    id: "radio/technology",
    asks: "Do the settings exclude the radio technology that is needed?",
    needs: &["AT+WS46?", "AT+QCFG=\"nwscanmode\"", "AT+CNMP?"],
    clause: "TS 27.007 §5.9 (+WS46)",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Allow every technology that the modem has, then let it search again; a first search over LTE-M or NB-IoT can take half an hour.",
        ),
        Action::step(
            Acts::Carrier,
            "Ask which technologies the carrier runs at this place and which the SIM's contract includes.",
        ),
    ],
    explains: &[
        "radio/no-signal",
        "registration/searching",
        "registration/idle",
        "registration/emergency",
        "bearer/inactive",
    ],
    page: include_str!("technology.md"),
    judge,
};

fn judge(site: &Site<'_>) -> Judgement {
    let Some(o) = site.allowed.latest() else { return Judgement::Open };
    if let Some(online) = online(site) {
        return Judgement::RuledOut(vec![online]);
    }
    if o.value.len() > 1 {
        return Judgement::RuledOut(vec![o.says("more than one technology is allowed")]);
    }
    let Some(only) = o.value.first() else { return Judgement::Open };
    if held_back(site)
        || !matches!(
            standing(site),
            Some((Standing::Idle | Standing::Searching | Standing::Unknown, _))
        )
    {
        return Judgement::Open;
    }
    holds(
        Certainty::Possible,
        format!("The settings allow {} alone, and nothing is found.", only.name()),
        vec![o.says(format!("{} alone is allowed", only.name()))],
    )
}
