//! Which rule owns which cause of mobility management.

use super::RULES;
use super::refusal::CAUSES;
use crate::capture::Capture;
use crate::case::Case;
use crate::reference::causes::{CauseList, causes};
use crate::rules::{Judgement, Site};

/// Causes that come with an accepted attach, or concern the circuit part alone.
const NO_REFUSAL: [u8; 2] = [2, 18];

#[test]
fn every_cause_of_lte_is_owned_by_one_rule() {
    for row in causes(CauseList::Emm).filter(|row| !NO_REFUSAL.contains(&row.first)) {
        let text = format!("AT+CEREG?\n+CEREG: 3,3,,,,0,{}\nOK\n", row.first);
        let case = Case::read(&Capture::new(&text));
        let site = Site::of(&case);
        let owners: Vec<_> = RULES
            .iter()
            .filter(|rule| rule.clause == CAUSES || rule.id.ends_with("roaming"))
            .filter(|rule| matches!((rule.judge)(&site), Judgement::Holds { .. }))
            .map(|rule| rule.id)
            .collect();
        assert_eq!(owners.len(), 1, "EMM {} ({}): {owners:?}", row.first, row.name);
    }
}

#[test]
fn every_cause_of_5g_is_owned_by_one_rule() {
    for row in causes(CauseList::FiveGmm) {
        let text = format!("AT+C5GREG?\n+C5GREG: 3,3,,,,,,0,{}\nOK\n", row.first);
        let case = Case::read(&Capture::new(&text));
        let site = Site::of(&case);
        let owners: Vec<_> = RULES
            .iter()
            .filter(|rule| rule.clause == CAUSES || rule.id.ends_with("roaming"))
            .filter(|rule| matches!((rule.judge)(&site), Judgement::Holds { .. }))
            .map(|rule| rule.id)
            .collect();
        assert_eq!(owners.len(), 1, "5GMM {} ({}): {owners:?}", row.first, row.name);
    }
}
