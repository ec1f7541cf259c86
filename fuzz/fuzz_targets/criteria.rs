//! Any text as criteria of an acceptance, and as the record of one: what reads is written to the same.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::commission::{Criteria, Record, markdown};

mod scratch;

fuzz_target!(|text: &str| {
    if let Ok(criteria) = Criteria::parse(text) {
        let written = toml::to_string(&criteria).expect("criteria can be written");
        assert_eq!(Criteria::parse(&written), Ok(criteria));
    }
    if let Ok(record) = serde_json::from_str::<Record>(text) {
        assert!(scratch::is_plain(&markdown(&record)));
    }
});
