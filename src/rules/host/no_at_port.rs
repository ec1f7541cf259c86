#![doc = include_str!("no_at_port.md")]

use crate::case::Host;
use crate::rules::{Action, Acts, Check, Judgement, Rule, Site, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "host/no-at-port",
    kind_of: Some(&super::no_modem::RULE),
    asks: "Has the device on the bus a serial port for AT commands?",
    settled_by: &[&reads::ALIVE],
    question: Some(
        "Which interfaces does the computer list for the device, and which driver serves each?",
    ),
    check: Some(Check::Port),
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Load the driver for the serial ports of this device, and look for the port again.",
        ),
        Action::step(
            Acts::Installer,
            "If the device offers no serial interface in this USB composition, use its other control interface, or set the composition that its manual names for AT commands.",
        ),
    ],
    explains: super::consequences::WITHOUT_PORT,
    page: include_str!("no_at_port.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let seen = |what: Host| site.host.reports.all().iter().rev().find(move |o| o.value == what);
    if let (Some(missing), Some(port)) = (seen(Host::NoAtPort), seen(Host::AtPort))
        && port.order > missing.order
    {
        return Judgement::RuledOut(port.says("a serial port appeared"));
    }
    // A modem that a host works with by another interface needs no serial port.
    if site.registration_status().is_some() || site.card.state.latest().is_some() {
        return Judgement::Open;
    }
    super::port::reported(
        site,
        &[Host::NoAtPort],
        "The computer sees the device, but no serial port for AT commands.",
    )
}
