#![doc = include_str!("boot_loader.md")]

use crate::case::Host;
use crate::rules::{
    Action, Acts, Certainty, Check, Consequence, Judgement, Layer, PRACTICE, Rule, Site, holds,
    reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "host/boot-loader",
    kind_of: Some(&super::no_modem::RULE),
    asks: "Does the module stay in its boot loader?",
    settled_by: &[&reads::ALIVE],
    question: Some("Was a firmware update interrupted before this began?"),
    check: Some(Check::Port),
    clause: PRACTICE,
    acts: Acts::Maker,
    actions: &[
        Action::step(
            Acts::Installer,
            "Take the power away for half a minute and switch on again: a module that was only caught while it started comes up as a modem.",
        ),
        Action::step(
            Acts::Maker,
            "If it stays so, the firmware has to be written again with the maker's own program, or the module goes back.",
        ),
    ],
    explains: BEHIND,
    page: include_str!("boot_loader.md"),
    judge,
    ..Rule::BLANK
};

/// What follows where the boot loader stands in the place of the modem: whatever its port does, too.
const BEHIND: &[Consequence] = &[
    Consequence::Rule(&super::no_modem::RULE),
    Consequence::Rule(&super::no_at_port::RULE),
    Consequence::Rule(&super::port_not_at::RULE),
    Consequence::Rule(&super::port_silent::RULE),
    Consequence::Layer(Layer::Device),
    Consequence::Layer(Layer::Card),
    Consequence::Layer(Layer::Radio),
    Consequence::Layer(Layer::Registration),
    Consequence::Layer(Layer::Bearer),
    Consequence::Layer(Layer::Path),
];

fn judge(site: &Site<'_>) -> Judgement {
    let on_the_bus = |host: Host| matches!(host, Host::Gone | Host::Returned | Host::AtPort);
    let reports = site.host.reports.all();
    let Some(at) = reports.iter().rposition(|o| o.value == Host::BootLoader) else {
        return Judgement::Open;
    };
    if let Some(evidence) =
        super::port::answered(site).filter(|a| a.span.start > reports[at].span.start)
    {
        return Judgement::RuledOut(evidence);
    }
    // A modem that came back later has left its boot loader.
    match reports[at..].iter().find(|o| on_the_bus(o.value)) {
        Some(later) => Judgement::RuledOut(later.says("another device came later")),
        None => holds(
            Certainty::Likely,
            "The module shows its boot loader instead of the modem.",
            vec![reports[at].says("the identifier of a boot loader")],
        ),
    }
}
