#![doc = include_str!("band_missing.md")]

use crate::rules::{Action, Acts, Judgement, Rule, Site, online};

pub(super) static RULE: Rule = Rule {
    id: "radio/band-missing",
    asks: "Does the modem have any band that the network uses here?",
    needs: &["AT+QNWPREFCFG=\"ue_capability_band\"", "AT+CGMM"],
    clause: "TS 36.101 table 5.5-1",
    acts: Acts::Maker,
    actions: &[
        Action::step(
            Acts::Maker,
            "Order the variant of the modem for this region, or a modem with the bands of the carrier.",
        ),
        Action::step(Acts::Installer, "Or use a carrier whose bands this modem has."),
    ],
    explains: &[
        "radio/no-signal",
        "registration/searching",
        "registration/idle",
        "registration/emergency",
        "bearer/inactive",
    ],
    page: include_str!("band_missing.md"),
    judge,
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(online) = online(site) {
        return Judgement::RuledOut(vec![online]);
    }
    Judgement::Open
}
