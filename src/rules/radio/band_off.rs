#![doc = include_str!("band_off.md")]

use crate::rules::standing::held_back;
use crate::rules::{
    Action, Acts, Certainty, Judgement, Rule, Site, Standing, holds, online, standing,
};

pub(super) static RULE: Rule = Rule {
    id: "radio/band-off",
    asks: "Is a band that the network uses switched off in the modem?",
    needs: &["AT+QCFG=\"band\"", "AT+QNWPREFCFG=\"lte_band\""],
    clause: "TS 36.101 table 5.5-1",
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "Switch all supported bands on, or at least those that the carrier uses here.",
    )],
    explains: &[
        "radio/no-signal",
        "radio/weak",
        "registration/searching",
        "registration/idle",
        "registration/emergency",
        "bearer/inactive",
    ],
    page: include_str!("band_off.md"),
    judge,
};

fn judge(site: &Site<'_>) -> Judgement {
    let Some((rat, enabled, evidence)) = super::bands(&site.enabled_bands) else {
        return Judgement::Open;
    };
    if let Some(online) = online(site) {
        return Judgement::RuledOut(vec![online]);
    }
    let Some((_, supported, supports)) = super::bands_of(&site.supported_bands, rat) else {
        return Judgement::Open;
    };
    let off: Vec<u16> = supported.iter().copied().filter(|b| !enabled.contains(b)).collect();
    if off.is_empty() {
        return Judgement::RuledOut(vec![evidence]);
    }
    if matches!(standing(site), Some((Standing::Denied, _))) || held_back(site) {
        return Judgement::Open;
    }
    let few = enabled.len() <= supported.len() / 3;
    if !few {
        return Judgement::Open;
    }
    holds(
        Certainty::Possible,
        format!(
            "Only {} of the modem's {} {} bands are switched on.",
            enabled.len(),
            supported.len(),
            rat.name()
        ),
        vec![supports, evidence],
    )
}
