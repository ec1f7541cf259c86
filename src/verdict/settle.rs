//! Which reads would settle a rule on this modem: the standard ones, and those of its own dialect
//! in the place of another maker's.

use crate::reply::{Dialect, dialect};
use crate::rules::Rule;

/// The reads for a rule, as this modem has them; every known maker's where its dialect is not known.
pub(super) fn reads(rule: &Rule, own: Option<&'static Dialect>) -> Vec<&'static str> {
    let Some(own) = own else { return rule.needs.to_vec() };
    let mut reads: Vec<&'static str> = match rule.id {
        "radio/band-off" | "radio/band-missing" => own.bands.into_iter().collect(),
        "radio/technology" => own.technology.into_iter().collect(),
        "radio/weak" | "radio/poor-quality" | "radio/no-signal" => vec![own.cell],
        _ => Vec::new(),
    };
    for need in rule.needs {
        let head: &str = need.trim_start_matches("AT").split(['?', '=']).next().unwrap_or("");
        let foreign = dialect([head]).is_some_and(|d| d != own);
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
        let own = dialect(["+QENG"]);
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
        let other = super::reads(find("radio/antenna").unwrap(), dialect(["+CPSI"]));
        assert!(!other.contains(&"AT+QRSRP") && other.contains(&"AT+CESQ"), "{other:?}");
    }

    #[test]
    fn a_modem_is_asked_in_its_own_dialect() {
        let rule = find("radio/band-off").unwrap();
        let own = dialect(["+CPSI"]);
        let reads = super::reads(rule, own);
        assert!(reads.contains(&"AT+CBANDCFG?"), "{reads:?}");
        assert!(!reads.iter().any(|r| r.contains("QCFG")), "{reads:?}");
    }

    #[test]
    fn without_a_dialect_every_known_read_is_told() {
        let rule = find("radio/technology").unwrap();
        assert_eq!(super::reads(rule, None), rule.needs);
    }
}
