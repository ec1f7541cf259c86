#![doc = include_str!("forgotten.md")]

use crate::reference::causes::CauseList::{self, Emm, FiveGmm, Gmm, Mm};
use crate::rules::{Action, Acts, Rule};

pub(in crate::rules) static RULE: Rule = Rule {
    id: "registration/forgotten",
    kind_of: Some(&super::network_trouble::RULE),
    asks: "Has the network forgotten the modem?",
    question: Some("How long does the modem sleep between two transmissions?"),
    acts: Acts::Nobody,
    actions: &[
        Action::step(Acts::Nobody, "Wait a minute: the modem attaches again by itself with its full identity."),
        Action::step(Acts::Installer, "If it repeats, look at the times of power saving and periodic updates: a modem that sleeps longer than the network allows is written off.").reading(&["AT+CPSMS?"]),
    ],
    page: include_str!("forgotten.md"),
    judge: |site| super::refusal::refused(site, owns, "The network has forgotten the modem, which attaches again by itself."),
    ..super::refusal::BLANK
};

fn owns(list: CauseList, cause: u8) -> bool {
    matches!(list, Emm | Gmm | FiveGmm) && matches!(cause, 9 | 10 | 40) || list == Mm && cause == 4
}
