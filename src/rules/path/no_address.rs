#![doc = include_str!("no_address.md")]

use crate::case::Observation;
use crate::reference::status_words::SessionState;
use crate::rules::registration_status::address;
use crate::rules::{Action, Acts, Certainty, Consequence, Judgement, Rule, Site, holds, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "path/no-address",
    asks: "Has the active context an address?",
    settled_by: &[&reads::SESSIONS],
    beside_connection: true,
    question: Some("Is it the same after the session is closed and opened again?"),
    clause: "TS 27.007 §10.1.14",
    acts: Acts::Carrier,
    actions: &[
        Action::step(
            Acts::Installer,
            "Deactivate and activate the context once; the link drops meanwhile.",
        )
        .changing(&["AT+CGACT=0,{context}", "AT+CGACT=1,{context}"])
        .of_context(|site| active(site).map(|(cid, _)| cid)),
        Action::step(Acts::Installer, "Read the address again.")
            .reading(&["AT+CGPADDR={context}"])
            .of_context(|site| active(site).map(|(cid, _)| cid)),
        Action::step(
            Acts::Carrier,
            "Ask whether addresses are left for this access point, and of which type.",
        ),
    ],
    explains: &[
        Consequence::Rule(&super::no_traffic::RULE),
        Consequence::Rule(&crate::rules::bearer::inactive::RULE),
    ],
    page: include_str!("no_address.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some((_, evidence)) = address(site) {
        return Judgement::RuledOut(evidence);
    }
    match active(site) {
        Some((cid, o)) => match site.sessions.addresses.get(&cid).and_then(|h| h.latest()) {
            Some(none) => holds(
                Certainty::Likely,
                format!("Context {cid} is active and has no address."),
                vec![o.says("active"), none.says("no address")],
            ),
            None => Judgement::Open,
        },
        None => reported(site),
    }
}

/// The first active context that is for data.
fn active<'s>(site: &'s Site<'_>) -> Option<(u8, &'s Observation<bool>)> {
    let mut active = site.sessions.active.iter();
    active.find_map(|(cid, h)| {
        h.latest().filter(|o| o.value && site.is_for_data(*cid)).map(|o| (*cid, o))
    })
}

/// A host that asked for an address and got none.
fn reported(site: &Site<'_>) -> Judgement {
    match site.sessions.reported.latest() {
        Some(o) if o.value == SessionState::NoAddress => holds(
            Certainty::Likely,
            "The link asks for an address and gets none.",
            vec![o.says("no address was given")],
        ),
        _ => Judgement::Open,
    }
}
