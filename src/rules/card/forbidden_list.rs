#![doc = include_str!("forbidden_list.md")]

use crate::case::{Cell, Evidence, Quantity, Reading, Value};
use crate::rules::{Action, Acts, Certainty, Consequence, Judgement, Rule, Site, holds, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "card/forbidden-list",
    asks: "Does the card forbid its own home network?",
    settled_by: &[&reads::FORBIDDEN, &reads::IDENTITY],
    amendment: Some("forbidden"),
    follow_up: &[&reads::REASON, &reads::LAST_FAILURE],
    question: Some("Did this card work in the same place before, and was the account ever suspended?"),
    clause: "TS 31.102 §4.2.16; TS 24.301 §5.5.1.2.5",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Select that network by hand once, if the account is in order: a successful attach takes it off the list.",
        ),
        Action::step(
            Acts::Installer,
            "Or clear the list: read the size of the file first, then write as many bytes FF as it has, and restart the radio. mastside amend forbidden does this and keeps an undo.",
        )
        .reading(&["AT+CRSM=192,28539"]),
        Action::step(
            Acts::Carrier,
            "Ask why the network once refused this subscriber; clearing the list does not mend that.",
        ),
    ],
    explains: &[
        Consequence::Rule(&crate::rules::registration::searching::RULE),
        Consequence::Rule(&crate::rules::registration::idle::RULE),
        Consequence::Rule(&crate::rules::registration::manual::RULE),
        Consequence::Rule(&crate::rules::registration::emergency::RULE),
    ],
    page: include_str!("forbidden_list.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let Some(list) = site.card.forbidden.latest() else { return Judgement::Open };
    if let Some(evidence) = site.online() {
        return Judgement::RuledOut(evidence);
    }
    if list.value.is_empty() {
        return Judgement::RuledOut(list.says("the list is empty"));
    }
    let Some(imsi) = site.card.imsi.latest() else { return Judgement::Open };
    if let Some(code) = list.value.iter().find(|code| imsi.value.starts_with(code.as_str())) {
        return holds(
            Certainty::Certain,
            format!("The card's own list forbids its home network {code}."),
            vec![
                list.says("the home network is on the forbidden list"),
                imsi.says("the home network's code opens the subscriber number"),
            ],
        );
    }
    if let Some((says, certainty)) = all_heard(site, &list.value) {
        return holds(
            certainty,
            "The card's own list forbids every network that is heard.",
            vec![list.says("the forbidden list"), says],
        );
    }
    match site.card.preferred.all().iter().find(|p| list.value.contains(&p.value)) {
        Some(wanted) => holds(
            Certainty::Possible,
            format!(
                "The card's own list forbids network {}, which the card prefers.",
                wanted.value
            ),
            vec![list.says("the forbidden list"), wanted.says("a network that the card prefers")],
        ),
        None => Judgement::RuledOut(list.says("the home network is not on the list")),
    }
}

/// Whether every network that is heard stands on the list: those of a search, or the one whose cell the modem is on.
fn all_heard(site: &Site<'_>, list: &[String]) -> Option<(Evidence, Certainty)> {
    if let Some(scan) = site.registration.scans.latest().filter(|o| !o.value.is_empty()) {
        let forbidden = scan.value.iter().all(|n| list.contains(&n.plmn));
        return forbidden.then(|| (scan.says("all of these are on the list"), Certainty::Likely));
    }
    let word = |quantity| {
        site.radio.readings.current().iter().rev().find_map(|o| match &o.value {
            Reading { quantity: q, value: Value::Word(word), cell: Cell::Serving }
                if *q == quantity =>
            {
                Some((word, o))
            }
            _ => None,
        })
    };
    let ((mcc, o), (mnc, _)) = (word(Quantity::Mcc)?, word(Quantity::Mnc)?);
    let network = format!("{mcc}{mnc}");
    list.contains(&network).then(|| {
        (o.says(format!("a cell of network {network}, which is on the list")), Certainty::Likely)
    })
}
