#![doc = include_str!("poor_quality.md")]

use crate::rules::{
    ANTENNA, Action, Acts, Certainty, Consequence, Judgement, Rule, Site, VendorRead, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "radio/poor-quality",
    asks: "Is there interference or load although the level is fair?",
    settled_by: &[&reads::LEVEL, &reads::FULL_LEVEL],
    vendor_read: Some(VendorRead::Cell),
    question: Some("Is it the same at another time of day, and with the antenna turned or moved?"),
    beside_connection: true,
    clause: "TS 36.133 §9.1.7 (RSRQ); thresholds: common practice, no source",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Turn or move the antenna so that one cell stands out; height makes \
             interference worse. Try another band or cell.",
        )
        .with_care(ANTENNA),
        Action::step(Acts::Carrier, "Ask whether the cell is overloaded or disturbed."),
    ],
    explains: &[
        Consequence::Rule(&crate::rules::registration::searching::RULE),
        Consequence::Rule(&crate::rules::bearer::inactive::RULE),
    ],
    page: include_str!("poor_quality.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let Some((poor, evidence)) = super::level::quality(site) else { return Judgement::Open };
    let Some(certainty) = super::level::certainty(poor) else {
        return Judgement::RuledOut(evidence);
    };
    // A link that is up hides what its users feel, unless the quality is at the bottom.
    if let Some(online) = site.online().filter(|_| certainty < Certainty::Likely) {
        return Judgement::RuledOut(online);
    }
    // Two measures that agree are no accident of one moment.
    let certainty = if super::level::qualities_agree(site) { Certainty::Likely } else { certainty };
    match super::level::strength(site) {
        Some((level, _)) if super::level::certainty(level).is_some() => Judgement::Open,
        Some((_, strength)) => holds(
            certainty,
            "The signal is disturbed: fair level, poor quality.",
            vec![strength, evidence],
        ),
        None => Judgement::Open,
    }
}
