#![doc = include_str!("wrong_context.md")]

use crate::rules::{Action, Acts, Certainty, Judgement, Rule, Site, holds};

pub(super) static RULE: Rule = Rule {
 id: "bearer/wrong-context",
 asks: "Does the session run on another context than the one in use?",
 needs: &["AT+CGPADDR", "AT+CGACT?"],
 clause: "TS 27.007 §10.1.1, §10.1.10",
 acts: Acts::Installer,
 actions: &[Action::step(Acts::Installer, "Let the program use the context that has the address, or write the access point name on the context that it uses.").reading(&["AT+CGDCONT?", "AT+CGPADDR"])],
 explains: &["path/", "bearer/inactive"],
 page: include_str!("wrong_context.md"),
 judge,
};

fn judge(site: &Site<'_>) -> Judgement {
    let latest: Vec<_> =
        site.addresses.iter().filter_map(|(cid, h)| h.latest().map(|o| (*cid, o))).collect();
    let Some(first) = latest.iter().find(|(cid, _)| *cid == 1) else { return Judgement::Open };
    if !first.1.value.is_empty() {
        return Judgement::RuledOut(vec![first.1.says("context 1 has the address")]);
    }
    let Some((cid, other)) = latest.iter().find(|(cid, o)| *cid != 1 && !o.value.is_empty()) else {
        return Judgement::Open;
    };
    let failed =
        site.failures.all().iter().rev().find(|o| o.order > other.order.min(first.1.order));
    let mut evidence = vec![
        other.says(format!("the address is on context {cid}")),
        first.1.says("context 1 has none"),
    ];
    let certainty = match failed {
        Some(o) => {
            evidence.push(o.says("what was tried then failed"));
            Certainty::Likely
        }
        None => Certainty::Possible,
    };
    holds(
        certainty,
        format!("The data session runs on context {cid}, while context 1 has no address."),
        evidence,
    )
}
