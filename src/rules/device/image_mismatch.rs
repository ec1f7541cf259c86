#![doc = include_str!("image_mismatch.md")]

use crate::case::Holder;
use crate::rules::registration_status::refusal;
use crate::rules::{
    Action, Acts, Certainty, Check, Consequence, Judgement, Layer, Rule, Site, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "device/image-mismatch",
    kind_of: Some(&super::radio_off::RULE),
    asks: "Do firmware image and configuration image fit each other?",
    settled_by: &[&reads::RADIO],
    follow_up: &[&reads::IMAGES, &reads::RADIO],
    question: Some("Was the firmware or the operator profile changed before the trouble began?"),
    check: Some(Check::Radio),
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Select the configuration image that belongs to the firmware in use, or the firmware that belongs to the carrier, with the vendor's command for it; then restart the module.",
        ),
        Action::step(
            Acts::Maker,
            "Ask for the pair of images for this carrier, if the module has none that fit.",
        ),
    ],
    explains: &[
        Consequence::Rule(&super::radio_off::RULE),
        Consequence::Layer(Layer::Radio),
        Consequence::Layer(Layer::Registration),
        Consequence::Layer(Layer::Bearer),
        Consequence::Layer(Layer::Path),
    ],
    page: include_str!("image_mismatch.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    match site.device.radio_held.latest() {
        Some(o) if o.value == Holder::Image => holds(
            Certainty::Certain,
            "The module keeps its radio off: firmware image and configuration image do not fit each other.",
            vec![o.says("the pair of images keeps the radio off")],
        ),
        Some(o) => Judgement::RuledOut(o.says("something else keeps the radio off")),
        None => match site.device.functionality.latest().filter(|o| o.value == 1) {
            Some(o) => Judgement::RuledOut(o.says("full functionality")),
            None => refusal(site).map_or(Judgement::Open, Judgement::RuledOut),
        },
    }
}
