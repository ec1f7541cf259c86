#![doc = include_str!("detection_setting.md")]

use crate::case::Sim;
use crate::rules::registration_status::{card_state, refusal};
use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, POWER_OFF, PRACTICE, Rule, Site, VendorRead,
    holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "card/detection-setting",
    kind_of: Some(&super::not_detected::RULE),
    asks: "Does the setting of the card detection hide a card that is there?",
    settled_by: &[&reads::CARD],
    vendor_read: Some(VendorRead::Detection),
    follow_up: &[&reads::DETECTION, &reads::CARD_AGAIN],
    question: Some(
        "Has the card holder a switch that is wired to the module, and does it close or open when a card is in?",
    ),
    clause: PRACTICE,
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Set the card detection to the other level, or switch it off where the holder has no switch, with the \
             vendor's command; then restart the modem and read the card.",
        )
        .reading(&["AT+CPIN?"]),
        Action::step(
            Acts::Installer,
            "If the card is still not seen, take it out and look at its seat, its contacts and the holder.",
        )
        .with_care(POWER_OFF),
    ],
    explains: super::WITHOUT_CARD,
    explains_too: &[Consequence::Rule(&super::not_detected::RULE)],
    page: include_str!("detection_setting.md"),
    judge,
    ..Rule::BLANK
};

/// The vendors' commands that set it.
const COMMANDS: [&str; 4] = ["+QSIMDET", "^SIMDET", "#SIMDET", "+CSDT"];

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    let detection = site.card.detection.latest();
    if let Some(o) = detection.filter(|o| !o.value.0) {
        return Judgement::RuledOut(o.says("the switch of the holder is not looked at"));
    }
    let Some(empty) = card_state(site) else {
        return refusal(site).map_or(Judgement::Open, Judgement::RuledOut);
    };
    if empty.value != Sim::NotInserted {
        return Judgement::RuledOut(empty.says("the card is seen"));
    }
    let none = empty.says("no SIM is seen");
    let was_set = COMMANDS.iter().any(|c| site.dialogue.last_set(c).is_some_and(|(_, well)| well));
    // A card that was seen before is there; what changed is how it is looked for.
    let seen = site.card.state.all().iter().rev().find(|o| {
        o.order < empty.order && matches!(o.value, Sim::Ready | Sim::PinRequired | Sim::PukRequired)
    });
    let on = detection.map(|o| o.says("the switch of the holder decides whether a card is there"));
    match (seen.filter(|_| was_set), on) {
        (Some(seen), on) => holds(
            Certainty::Likely,
            "The card was seen until the card detection was set: the setting does not fit the holder.",
            on.into_iter().chain([seen.says("seen before"), none]).collect(),
        ),
        (None, Some(on)) => holds(
            Certainty::Possible,
            "The module looks at the switch of the card holder, and takes the holder for empty.",
            vec![on, none],
        ),
        (None, None) => Judgement::Open,
    }
}
