#![doc = include_str!("no_modem.md")]

use crate::case::Host;
use crate::rules::{
    Action, Acts, Certainty, Check, Judgement, POWER_OFF, PRACTICE, Rule, Site, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "host/no-modem",
    asks: "Is there a port that could be a modem?",
    settled_by: &[&reads::ALIVE],
    check: Some(Check::Port),
    question: Some(
        "Does the computer list the device at all when it is plugged in, and does it in another socket?",
    ),
    clause: PRACTICE,
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Check that the modem is seated firmly in its socket and has power, wait two \
             minutes after power-on, and look for its port again.",
        )
        .with_care(POWER_OFF),
        Action::step(
            Acts::Installer,
            "Try another cable or socket, and see whether the computer notices the device \
             at all when it is plugged.",
        ),
        Action::step(
            Acts::Maker,
            "If it never appears on two computers, the module or its board is a candidate for repair.",
        ),
    ],
    explains: super::consequences::WITHOUT_PORT,
    page: include_str!("no_modem.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let reported = super::port::reported(
        site,
        &[Host::NoModem],
        "The computer sees no modem: the port does not exist.",
    );
    if !matches!(reported, Judgement::Open) {
        return reported;
    }
    // One that leaves again and again was there in between, and may be on its way back.
    let reports = site.host.reports.all();
    let left = reports.iter().filter(|o| o.value == Host::Gone).count();
    if left > 1 && reports.iter().any(|o| matches!(o.value, Host::Returned | Host::AtPort)) {
        return Judgement::Open;
    }
    // A device that left the bus and did not come back.
    let on_the_bus = |host: Host| matches!(host, Host::Gone | Host::Returned | Host::AtPort);
    match site.host.reports.all().iter().rev().find(|o| on_the_bus(o.value)) {
        Some(o) if o.value == Host::Gone => holds(
            Certainty::Likely,
            "The device left the bus and did not come back.",
            vec![o.says("gone from the bus, and no line of its return")],
        ),
        _ => Judgement::Open,
    }
}
