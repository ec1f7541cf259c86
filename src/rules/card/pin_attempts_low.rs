#![doc = include_str!("pin_attempts_low.md")]

use crate::rules::{Action, Acts, Certainty, Judgement, Rule, Site, holds, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "card/pin-attempts-low",
    asks: "Are enough PIN tries left?",
    settled_by: &[&reads::PIN_ATTEMPTS],
    clause: "TS 27.007 §8.65",
    acts: Acts::AccountHolder,
    actions: &[Action::step(
        Acts::AccountHolder,
        "Try no PIN that is not known for sure: the last wrong one blocks the card.",
    )
    .reading(&["AT+CPINR"])],
    page: include_str!("pin_attempts_low.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    match site.card.pin_tries.latest() {
        Some(o) if o.value <= 1 => {
            let tries =
                if o.value == 1 { "Only one PIN try is left." } else { "No PIN try is left." };
            holds(Certainty::Certain, tries, vec![o.says("PIN tries left")])
        }
        Some(o) if o.value == 2 && was_wrong(site) => holds(
            Certainty::Likely,
            "A wrong PIN was tried, and two tries are left.",
            vec![o.says("PIN tries left")],
        ),
        Some(o) => Judgement::RuledOut(o.says("enough tries left")),
        None => Judgement::Open,
    }
}

/// Whether an entry of the PIN ended in "incorrect password" (16, TS 27.007 §9.2).
fn was_wrong(site: &Site<'_>) -> bool {
    site.exchanges.failures.all().iter().any(|o| {
        o.value.cme == Some(16)
            && o.value.command.get(..6).is_some_and(|c| c.eq_ignore_ascii_case("+CPIN="))
    })
}
