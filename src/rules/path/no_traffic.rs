#![doc = include_str!("no_traffic.md")]

use crate::rules::{
    Action, Acts, Certainty, Judgement, PRACTICE, Rule, Site, VendorRead, bearer_up,
    data_registered, holds, reads,
};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "path/no-traffic",
    asks: "Does anything pass over the link?",
    settled_by: &[&reads::SESSION_PARAMETERS, &reads::NAME_SERVERS],
    vendor_read: Some(VendorRead::NameServers),
    follow_up: &[&reads::NAME_SERVERS, &reads::SESSION_PARAMETERS, &reads::CONTEXTS, &reads::SESSIONS],
    beside_connection: true,
    question: Some("What fails: names alone, numeric addresses as well, or one destination?"),
    clause: PRACTICE,
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Try a numeric address first, then a name: if only the name fails, it is the name service.",
        )
        .unless(|site| site.path.name_resolved.latest().is_some()),
        Action::step(
            Acts::Installer,
            "Look at the address, the name servers and the host's route: the link must be the one that its packets take.",
        )
        .reading(&["AT+CGCONTRDP"]),
        Action::step(
            Acts::Carrier,
            "Ask whether the access point leads to the open network or only to a private one.",
        ),
    ],
    page: include_str!("no_traffic.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let unresolved = site.path.name_resolved.latest().filter(|o| !o.value);
    let on = bearer_up(site).or_else(|| data_registered(site));
    if let (Some(o), Some(evidence)) = (unresolved, on) {
        return holds(
            Certainty::Likely,
            "The modem is connected, and names are not resolved over the link.",
            vec![evidence, o.says("the name was not resolved")],
        );
    }
    match site.path.traffic.latest() {
        Some(o) if o.value => Judgement::RuledOut(o.says("something passed")),
        Some(o) => match bearer_up(site).or_else(|| data_registered(site)) {
            Some(evidence) => holds(
                Certainty::Likely,
                "The modem is connected, and nothing passes over the link.",
                vec![evidence, o.says("what was tried did not pass")],
            ),
            None => Judgement::Open,
        },
        None => Judgement::Open,
    }
}
