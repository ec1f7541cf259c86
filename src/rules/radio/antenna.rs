#![doc = include_str!("antenna.md")]

use crate::case::Evidence;
use crate::case::Quantity;
use crate::reference::thresholds::{Reach, threshold};
use crate::rules::{
    ANTENNA, Action, Acts, Certainty, Consequence, Judgement, PRACTICE, Rule, Site, VendorRead,
    holds, reads,
};
use std::collections::BTreeMap;

pub(in crate::rules) static RULE: Rule = Rule {
    id: "radio/antenna",
    asks: "Are all antenna branches alive?",
    settled_by: &[&reads::LEVEL, &reads::FULL_LEVEL],
    vendor_read: Some(VendorRead::Branches),
    commonness: 2,
    question: Some(
        "Is each antenna cable on its own connector, and is it the same with the two cables swapped?",
    ),
    clause: PRACTICE,
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "Check cable and connector of the weaker branch, swap the two cables and read \
             again: if the weakness moves with the cable, it is the cable or the antenna.",
    )
    .with_care(ANTENNA)],
    explains: &[
        Consequence::Rule(&super::weak::RULE),
        Consequence::Rule(&super::poor_quality::RULE),
    ],
    beside_connection: true,
    page: include_str!("antenna.md"),
    judge,
    ..Rule::BLANK
};

/// A branch that receives nothing reads the lowest step of RSRP (TS 36.133 §9.1.4).
const DEAD: f64 = -140.0;

fn judge(site: &Site<'_>) -> Judgement {
    let mut latest: BTreeMap<u8, (f64, Evidence)> = BTreeMap::new();
    for o in site.radio.antenna_ports.current() {
        let (port, quantity, value) = o.value;
        if let (Quantity::Rsrp | Quantity::Rscp | Quantity::Rssi, Some(value)) = (quantity, value) {
            latest.insert(port, (value, o.says(format!("antenna port {port}: {value} dBm"))));
        }
    }
    let best = latest.values().max_by(|a, b| a.0.total_cmp(&b.0));
    let worst = latest.values().min_by(|a, b| a.0.total_cmp(&b.0));
    let (Some(best), Some(worst)) = (best, worst) else { return Judgement::Open };
    let apart = best.0 - worst.0;
    let Some(limit) = threshold("branches").filter(|_| latest.len() > 1) else {
        return Judgement::Open;
    };
    let evidence = vec![best.1.clone(), worst.1.clone()];
    if worst.0 <= DEAD && best.0 > DEAD + limit.sure {
        return holds(
            Certainty::Likely,
            "One receive branch receives nothing: its antenna, cable or connector is open.",
            evidence,
        );
    }
    // The main branch transmits, too: what weakens it weakens the uplink as much.
    let main = latest.get(&0).is_some_and(|(level, _)| *level <= worst.0);
    if main && limit.judge(apart) == Reach::Likely {
        return holds(
            Certainty::Likely,
            format!(
                "The main branch, which also transmits, receives {apart} dB less than the other."
            ),
            evidence,
        );
    }
    // Other branches that differ do not keep a connected modem from its work.
    if let (true, Some(online)) = (limit.judge(apart) == Reach::Likely, site.online()) {
        return holds(
            Certainty::Possible,
            format!("One receive branch is {apart} dB weaker than the other."),
            evidence.into_iter().chain([online]).collect(),
        );
    }
    match limit.judge(apart) {
        Reach::Likely => holds(
            Certainty::Likely,
            format!("One receive branch is {apart} dB weaker than the other."),
            evidence,
        ),
        Reach::Possible => holds(
            Certainty::Possible,
            format!("The receive branches are {apart} dB apart."),
            evidence,
        ),
        Reach::Clear => {
            let says = format!("{}, the weakest; {apart} dB below the best", worst.1.says);
            Judgement::RuledOut(Evidence { says: says.into(), ..worst.1.clone() })
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::capture::Capture;
    use crate::case::Case;
    use crate::verdict::explain;

    #[test]
    fn a_weak_main_branch_is_a_fault_beside_a_connection_and_another_is_a_remark() {
        let text = |levels: &str| {
            format!("AT+QRSRP\n+QRSRP: {levels},LTE\nOK\nAT+CEREG?\n+CEREG: 0,1\nOK\n")
        };
        let finding = |levels: &str| explain(&Case::read(&Capture::new(&text(levels)))).id();
        assert_eq!(finding("-121,-88,-140,-140"), "radio/antenna");
        assert_eq!(finding("-88,-121,-140,-140"), "connected");
        assert_eq!(finding("-92,-88,-140,-140"), "connected");
    }
}
