#![doc = include_str!("inactive.md")]

use crate::rules::{Action, Acts, Certainty, Judgement, Rule, Site, bearer_up, holds, online};

pub(super) static RULE: Rule = Rule {
    id: "bearer/inactive",
    asks: "Is a context active?",
    needs: &["AT+CGACT?", "AT+CGPADDR"],
    clause: "TS 27.007 §10.1.10",
    acts: Acts::Installer,
    actions: &[
        Action::step(
            Acts::Installer,
            "Activate the context that carries the right name, and read its address.",
        )
        .changing(&["AT+CGACT=1,1"]),
        Action::step(Acts::Installer, "If that fails, read the reason at once.")
            .reading(&["AT+CEER"]),
    ],
    explains: &["path/"],
    page: include_str!("inactive.md"),
    judge,
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(evidence) = bearer_up(site) {
        return Judgement::RuledOut(vec![evidence]);
    }
    let states: Vec<_> =
        site.active.iter().filter_map(|(cid, h)| h.latest().map(|o| (*cid, o))).collect();
    let Some(first) = states.first() else { return failed(site) };
    match online(site) {
        Some(evidence) => holds(
            Certainty::Likely,
            "The modem is on the network, but no data session is open.",
            vec![
                evidence,
                first.1.says(format!("context {} is not active, nor is any other", first.0)),
            ],
        ),
        None => Judgement::Open,
    }
}

/// Commands that open a data session, from 27.007 and makers' own; common practice, no source.
const OPENING: &[&str] = &[
    "+CGACT=1",
    "+CIICR",
    "+SAPBR=1",
    "+QIACT",
    "+CNACT=",
    "+CGDATA",
    "#SGACT=",
    "+XACTIVATE",
    "$QCRMCALL=1",
    "^NDISDUP=1,1",
    "+NETOPEN",
];

/// On the network, and the last attempt to open a session ended badly without a reason.
fn failed(site: &Site<'_>) -> Judgement {
    let opening = |command: &str| {
        let upper = command.to_ascii_uppercase();
        OPENING.iter().any(|name| upper.starts_with(name))
    };
    let last = site.failures.all().iter().rev().find(|o| opening(&o.value.command));
    match (last, online(site)) {
        (Some(o), Some(evidence)) => holds(
            Certainty::Likely,
            "The modem is on the network, and opening a data session fails.",
            vec![evidence, o.says("the attempt to open a session was refused")],
        ),
        _ => Judgement::Open,
    }
}
