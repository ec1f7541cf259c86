//! Which reads would settle a rule on this modem: the standard ones, and those of its own dialect
//! in the place of another maker's.

use super::Judged;
use crate::response::{COMMAND_SETS, VendorCommandSet, command_set};
use crate::rules::{self, Judgement, Rule};
use std::sync::{LazyLock, OnceLock};

type Reads = Vec<&'static str>;

/// Notes for every rule that is open which reads would settle it; `judged` are all rules in order.
pub(super) fn note(judged: &mut [Judged], own: Option<&'static VendorCommandSet>) {
    let table = own.map(of_dialect);
    for (at, j) in judged.iter_mut().enumerate() {
        if matches!(j.judgement, Judgement::Open) {
            j.settled_by = table.and_then(|t| t.get(at)).map_or(j.rule.needs, Vec::as_slice);
        }
    }
}

/// The reads for every rule in a command_set, put together once.
fn of_dialect(own: &'static VendorCommandSet) -> &'static [Reads] {
    static TABLES: LazyLock<Vec<OnceLock<Vec<Reads>>>> =
        LazyLock::new(|| COMMAND_SETS.iter().map(|_| OnceLock::new()).collect());
    let table = COMMAND_SETS.iter().zip(TABLES.iter()).find(|(command_set, _)| *command_set == own);
    table.map_or(&[], |(_, t)| t.get_or_init(|| rules::all().map(|r| reads(r, own)).collect()))
}

/// The reads for a rule, as a modem of this dialect has them.
fn reads(rule: &'static Rule, own: &'static VendorCommandSet) -> Reads {
    let mut reads: Reads = match rule.id {
        "radio/band-off" | "radio/band-missing" => own.bands.into_iter().collect(),
        "radio/technology" => own.technology.into_iter().collect(),
        "radio/weak" | "radio/poor-quality" | "radio/no-signal" => vec![own.cell],
        _ => Vec::new(),
    };
    for need in rule.needs {
        let head: &str = need.trim_start_matches("AT").split(['?', '=']).next().unwrap_or("");
        let foreign = command_set([head]).is_some_and(|d| d != own);
        if !foreign && !reads.contains(need) {
            reads.push(need);
        }
    }
    reads
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::find;

    #[test]
    fn each_rule_of_the_radio_has_its_own_read_of_the_dialect() {
        let own = command_set(["+QENG"]).unwrap();
        let of = |id: &str| super::reads(find(id).unwrap(), own);
        for (id, read) in [
            ("radio/technology", "AT+QCFG=\"nwscanmode\""),
            ("radio/antenna", "AT+QRSRP"),
            ("radio/weak", "AT+QENG=\"servingcell\""),
            ("radio/poor-quality", "AT+QENG=\"servingcell\""),
            ("radio/no-signal", "AT+QENG=\"servingcell\""),
            ("radio/band-missing", "AT+QCFG=\"band\""),
        ] {
            let reads = of(id);
            assert_eq!(reads[0], read, "{id}: {reads:?}");
            let mut once = reads.clone();
            once.sort_unstable();
            once.dedup();
            assert_eq!(once.len(), reads.len(), "{id}: {reads:?}");
        }
        // Another maker's read is none of this modem's.
        let other = super::reads(find("radio/antenna").unwrap(), command_set(["+CPSI"]).unwrap());
        assert!(!other.contains(&"AT+QRSRP") && other.contains(&"AT+CESQ"), "{other:?}");
    }

    #[test]
    fn a_modem_is_asked_in_its_own_dialect() {
        let rule = find("radio/band-off").unwrap();
        let own = command_set(["+CPSI"]).unwrap();
        let reads = super::reads(rule, own);
        assert!(reads.contains(&"AT+CBANDCFG?"), "{reads:?}");
        assert!(!reads.iter().any(|r| r.contains("QCFG")), "{reads:?}");
    }

    #[test]
    fn without_a_dialect_every_known_read_is_told() {
        for (own, first) in [(None, "AT+WS46?"), (command_set(["+CPSI"]), "AT+CNMP?")] {
            let mut judged: Vec<Judged> = rules::all()
                .map(|rule| Judged {
                    rule,
                    judgement: Judgement::Open,
                    because_of: None,
                    settled_by: &[],
                })
                .collect();
            note(&mut judged, own);
            let technology = judged.iter().find(|j| j.rule.id == "radio/technology").unwrap();
            assert_eq!(technology.settled_by[0], first);
            if own.is_none() {
                assert!(judged.iter().all(|j| j.settled_by == j.rule.needs));
            }
        }
    }
}
