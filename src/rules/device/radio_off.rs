#![doc = include_str!("radio_off.md")]

use crate::case::{Holder, Service};
use crate::caution::RADIATES;
use crate::rules::registration_status::refusal;
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
    actions: &[
        Action::step(
            Acts::Installer,
            "Set the radio switch of the device to on, or free the disable pin that its board drives: no command \
             overrides either.",
        )
        .with_care(RADIATES)
        .unless(|site| held_by(site) != Some(Holder::Pin)),
        Action::step(
            Acts::Installer,
            "Remove what keeps the radio off first; while it lasts, the modem does not let a command switch it on.",
        )
        .unless(|site| !matches!(held_by(site), Some(Holder::Heat | Holder::Supply | Holder::Image))),
        Action::step(Acts::Installer, "Switch the radio on.")
            .changing(&["AT+CFUN=1"])
            .with_care(RADIATES)
            .unless(|site| !matches!(held_by(site), None | Some(Holder::Host | Holder::Firmware))),
    ],
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

/// What keeps the radio off, where the modem or its host names it.
fn held_by(site: &Site<'_>) -> Option<Holder> {
    site.device.radio_held.latest().map(|o| o.value)
}

const fn by(holder: Holder) -> &'static str {
    match holder {
        Holder::Heat => "the module's temperature",
        Holder::Supply => "its supply voltage",
        Holder::Host => "the host, which set the functionality level",
        Holder::Pin => {
            "a switch of the device or the disable pin of its slot, which the host board drives"
        }
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
    let Some(o) = site.device.functionality.latest() else {
        let on = site.gave_up.clone().or_else(|| refusal(site));
        return on.map_or(Judgement::Open, Judgement::RuledOut);
    };
    match o.value {
        1 => Judgement::RuledOut(o.says("full functionality")),
        level @ (0 | 2..=4) => {
            let says = match level {
                0 => "minimum functionality: no radio, often no SIM",
                2 => "the transmitter is off",
                3 => "the receiver is off",
                _ => "radio off, as in flight mode",
            };
            holds(
                Certainty::Certain,
                format!("The radio is switched off (functionality level {level})."),
                vec![o.says(says)],
            )
        }
        // The clause leaves levels from 5 to the vendor; none of them is full functionality.
        level => holds(
            Certainty::Likely,
            format!("The modem is at functionality level {level}, not at full functionality."),
            vec![o.says("not level 1, full functionality")],
        ),
    }
}
