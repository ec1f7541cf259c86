#![doc = include_str!("hot.md")]

use crate::case::{Holder, Power, Quantity};
use crate::reference::thresholds::{Reach, threshold};
use crate::rules::{
    Action, Acts, Certainty, Consequence, Judgement, Layer, PRACTICE, Rule, Site, holds,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "device/hot",
    asks: "Is the module beyond its temperature limit?",
    beside_connection: true,
    question: Some(
        "Is the module in the sun or in a closed cabinet, and does it work again once it has cooled?",
    ),
    clause: PRACTICE,
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "Let the module cool, shade or ventilate the cabinet, and read its temperature again.",
    )],
    explains: &[
        Consequence::Rule(&super::restarts::RULE),
        Consequence::Rule(&super::radio_off::RULE),
        Consequence::Layer(Layer::Radio),
        // A reason that the network gave has nothing to do with heat.
        Consequence::Rule(&crate::rules::registration::idle::RULE),
        Consequence::Rule(&crate::rules::registration::searching::RULE),
        Consequence::Rule(&crate::rules::registration::emergency::RULE),
        Consequence::Rule(&crate::rules::registration::detached::RULE),
        Consequence::Rule(&crate::rules::bearer::inactive::RULE),
        Consequence::Layer(Layer::Path),
    ],
    page: include_str!("hot.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(o) = site.device.power.all().iter().rev().find(|o| o.value == Power::Temperature) {
        return holds(
            Certainty::Likely,
            "The modem warns of its temperature.",
            vec![o.says("temperature warning")],
        );
    }
    if let Some(o) = site.device.radio_held.latest().filter(|o| o.value == Holder::Heat) {
        return holds(
            Certainty::Certain,
            "The modem keeps its radio off because it is too hot.",
            vec![o.says("temperature keeps the radio off")],
        );
    }
    let (Some((Some(degrees), o)), Some(limit)) =
        (site.level(Quantity::Temperature), threshold("temperature"))
    else {
        return Judgement::Open;
    };
    let certainty = match limit.judge(degrees) {
        Reach::Likely => Certainty::Likely,
        Reach::Possible => Certainty::Possible,
        Reach::Clear => {
            return Judgement::RuledOut(
                o.says(format!("below {} °C, where the usual range ends", limit.begins)),
            );
        }
    };
    holds(
        certainty,
        format!("The module is at {degrees} °C."),
        vec![
            o.says(format!("the usual range ends between {} and {} °C", limit.begins, limit.sure)),
        ],
    )
}
