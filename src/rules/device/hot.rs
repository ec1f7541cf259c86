#![doc = include_str!("hot.md")]

use crate::reply::{Holder, Power, Quantity};
use crate::rules::{Action, Acts, Certainty, Judgement, PRACTICE, Rule, Site, holds};

/// Usual upper limit of a module, °C; common practice, no source.
const LIMIT: f64 = 85.0;

pub(super) static RULE: Rule = Rule {
    id: "device/hot",
    asks: "Is the module beyond its temperature limit?",
    needs: &[],
    clause: PRACTICE,
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "Let the module cool, shade or ventilate the cabinet, and read its temperature again.",
    )],
    explains: &[
        "device/restarts",
        "device/radio-off",
        "radio/",
        "registration/",
        "bearer/",
        "path/",
    ],
    page: include_str!("hot.md"),
    judge,
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(o) = site.power.all().iter().rev().find(|o| o.value == Power::Temperature) {
        return holds(
            Certainty::Certain,
            "The modem warns of its temperature.",
            vec![o.says("temperature warning")],
        );
    }
    if let Some(o) = site.held.latest().filter(|o| o.value == Holder::Heat) {
        return holds(
            Certainty::Certain,
            "The modem holds its radio off because it is too hot.",
            vec![o.says("temperature holds the radio off")],
        );
    }
    match site.level(Quantity::Temperature) {
        Some((Some(t), o)) if t >= LIMIT => holds(
            Certainty::Likely,
            format!("The module is at {t} °C."),
            vec![o.says("usual limit of a module: 85 °C")],
        ),
        Some((Some(_), o)) => Judgement::RuledOut(vec![o.says("below the usual limit of 85 °C")]),
        _ => Judgement::Open,
    }
}
