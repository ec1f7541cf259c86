#![doc = include_str!("radio_off.md")]

use crate::case::{Holder, Service};
use crate::caution::RADIATES;
use crate::rules::registration_status::{gave_up, refusal};
use crate::rules::{
    Action, Acts, Certainty, Check, Consequence, Judgement, Layer, Rule, Site, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "device/radio-off",
    asks: "Is the radio switched off?",
    settled_by: &[&reads::RADIO],
    amendment: Some("radio"),
    commonness: 4,
    check: Some(Check::Radio),
    follow_up: &[&reads::RADIO_AGAIN, &reads::EPS_STATE],
    question: Some(
        "Does the host's program switch the radio off, or is a switch or a pin for it set?",
    ),
    clause: "TS 27.007 §8.2",
    acts: Acts::Installer,
    actions: &[Action::step(Acts::Installer, "Switch the radio on.")
        .changing(&["AT+CFUN=1"])
        .with_care(RADIATES)],
    explains: &[
        Consequence::Layer(Layer::Radio),
        Consequence::Layer(Layer::Registration),
        Consequence::Layer(Layer::Bearer),
        Consequence::Layer(Layer::Path),
    ],
    page: include_str!("radio_off.md"),
    judge,
    ..Rule::BLANK
};

const fn by(holder: Holder) -> &'static str {
    match holder {
        Holder::Heat => "the module's temperature",
        Holder::Supply => "its supply voltage",
        Holder::Host => "the host, which set the functionality level",
        Holder::Pin => "the disable pin of the card slot, which the host board drives",
        Holder::Image => "a firmware image and a settings image that do not fit each other",
        Holder::Firmware => "a part of the firmware",
    }
}

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    if let Some(o) = site.device.radio_held.latest() {
        return holds(
            Certainty::Certain,
            format!("The radio is kept off by {}.", by(o.value)),
            vec![o.says(format!("keeps the radio off: {}", by(o.value)))],
        );
    }
    if let Some(o) = site.registration.service.latest().filter(|o| o.value == Service::RadioOff) {
        return holds(
            Certainty::Certain,
            "The radio is kept off.",
            vec![o.says("low power: neither sending nor receiving")],
        );
    }
    if let Some(o) = gave_up(site) {
        return holds(
            Certainty::Possible,
            "The host itself switched the radio off at the end.",
            vec![o.says("switched off by the host, after the modem had searched or was refused")],
        );
    }
    let Some(o) = site.device.functionality.latest() else {
        return refusal(site).map_or(Judgement::Open, Judgement::RuledOut);
    };
    match o.value {
        1 => Judgement::RuledOut(o.says("full functionality")),
        level @ (0 | 4 | 7) => {
            let says = if level == 0 {
                "minimum functionality: no radio, often no SIM"
            } else {
                "radio off, as in flight mode"
            };
            holds(
                Certainty::Certain,
                format!("The radio is switched off (functionality level {level})."),
                vec![o.says(says)],
            )
        }
        // The clause leaves the other levels to the maker; none of them is full functionality.
        level => holds(
            Certainty::Likely,
            format!("The modem is at functionality level {level}, not at full functionality."),
            vec![o.says("not level 1, full functionality")],
        ),
    }
}
