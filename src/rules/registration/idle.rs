#![doc = include_str!("idle.md")]

use crate::rules::{
    Action, Acts, Certainty, Judgement, RegistrationStatus, Rule, Site, circuit_registered,
    data_known, holds,
};

pub(super) static RULE: Rule = Rule {
    id: "registration/idle",
    asks: "Has the modem stopped looking for a network?",
    needs: &["AT+CEREG?", "AT+CGREG?", "AT+CREG?", "AT+COPS?"],
    clause: "TS 27.007 §7.2, §7.3, §10.1.22",
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "Set automatic network choice, which also starts a new search, and wait some minutes.",
    )
    .changing(&["AT+COPS=0"])],
    explains: &["bearer/inactive", "path/"],
    page: include_str!("idle.md"),
    judge,
};

fn judge(site: &Site<'_>) -> Judgement {
    if let Some(o) = site.registration.operator.latest().filter(|o| o.value.mode == 2) {
        return match site.online() {
            Some(evidence) => Judgement::RuledOut(evidence),
            None => holds(
                Certainty::Certain,
                "The modem was told to leave the network.",
                vec![o.says("deregistered by command (mode 2)")],
            ),
        };
    }
    match site.registration_status() {
        Some((RegistrationStatus::Idle, evidence)) => match circuit_registered(site) {
            Some(circuit) => Judgement::RuledOut(circuit),
            None => holds(
                Certainty::Likely,
                "The modem is not registered and does not search.",
                vec![evidence],
            ),
        },
        Some((_, evidence)) if data_known(site) => Judgement::RuledOut(evidence),
        // The circuit domain alone says nothing of data.
        Some(_) => Judgement::Open,
        None => Judgement::Open,
    }
}
