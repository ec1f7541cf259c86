#![doc = include_str!("identifier.md")]

use crate::identity::is_checked;
use crate::rules::{Action, Acts, Certainty, Judgement, Rule, Site, holds, reads};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "card/identifier",
    asks: "Is the card's number well formed?",
    settled_by: &[&reads::CARD_NUMBER],
    question: Some("Was the number copied by hand or cut?"),
    clause: "ITU-T E.118 (check digit)",
    acts: Acts::Installer,
    actions: &[Action::step(
        Acts::Installer,
        "Read the number from the card itself and compare; a wrong digit is usually a \
             copying error.",
    )
    .reading(&["AT+CCID"])],
    page: include_str!("identifier.md"),
    judge,
    ..Rule::BLANK
};

fn judge(site: &Site<'_>) -> Judgement {
    let Some(o) = site.card.iccid.latest() else { return Judgement::Open };
    let right = o.value.starts_with("89") && is_checked(&o.value);
    match o.value.len() {
        _ if right => Judgement::RuledOut(o.says("well formed, check digit right")),
        // Nineteen digits carry a check digit; other lengths are printed with and without one.
        19 => holds(
            Certainty::Possible,
            "The card's number is not well formed.",
            vec![o.says("the check digit or the leading 89 is wrong, perhaps a copying error")],
        ),
        _ => Judgement::Open,
    }
}
