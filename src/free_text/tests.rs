//! Whole lines and short texts through the reader: what a machine wrote, and what is read of it.

use super::FreeText;
use crate::case::{Fact, Facts, Reading, Value};

const RECORDS: &str = include_str!("../../tests/sentences/records.txt");

/// Every fact of a text, in its order.
fn facts(text: &str) -> Vec<Fact> {
    let (mut words, mut facts) = (FreeText::default(), Facts::default());
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        let bare = line.trim_end_matches('\n');
        if !bare.trim().is_empty() {
            words.read(bare, at, false, &mut facts);
        }
        at += line.len();
    }
    words.finish(&mut facts);
    facts.drain().map(|(fact, _)| fact).collect()
}

/// The readings among the facts of a text, in words.
fn readings(text: &str) -> Vec<String> {
    let shown = |fact: Fact| match fact {
        Fact::Reading(Reading { quantity, value: Value::Number(Some(n)), .. }) => {
            Some(format!("{} {n}", quantity.name()))
        }
        Fact::Reading(Reading { quantity, value: Value::Word(word), .. }) => {
            Some(format!("{} {word}", quantity.name()))
        }
        Fact::Port(port, quantity, Some(value)) => {
            Some(format!("port {port} {} {value}", quantity.name()))
        }
        _ => None,
    };
    facts(text).into_iter().filter_map(shown).collect()
}

#[test]
fn records_are_read_as_the_list_says() {
    let mut count = 0;
    for row in RECORDS.lines().filter(|row| !row.starts_with('#')) {
        let (line, wanted) = row.rsplit_once(" -> ").expect("an arrow");
        let mut wanted: Vec<&str> = wanted.split(", ").filter(|w| *w != "nothing").collect();
        let mut read = readings(line);
        wanted.sort_unstable();
        read.sort_unstable();
        assert_eq!(read, wanted, "{line}");
        count += 1;
    }
    assert!(count > 40, "{count} rows");
}

#[test]
fn what_stands_under_a_heading_of_other_things_is_not_of_this_modem() {
    assert_eq!(readings("scan:\n  a: rsrp -92\nserving:\n  rsrp: -88\n"), ["rsrp_dbm -88"]);
    assert_eq!(readings("history {\n  \"02:00\" { rsrp -78; sinr -5.0; }\n}\n"), [""; 0]);
}
