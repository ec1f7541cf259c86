//! Any bytes as lines of records: each gets one row, on one line, which reads back; and any bytes as rows of an earlier
//! run.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::carrier::ProfileStore;
use mastside::explanation::{Basis, View};
use mastside::triage::{Fleet, Judge, Overview, page, rows, text};
use std::sync::LazyLock;

mod scratch;

static PROFILES: LazyLock<ProfileStore> = LazyLock::new(ProfileStore::default);

fuzz_target!(|bytes: &[u8]| {
    let judge = Judge { basis: Basis::of(&PROFILES), view: View::default() };
    let mut fleet = Fleet::default();
    for line in bytes.split(|byte| *byte == b'\n') {
        let row = judge.line(line);
        let written = row.line();
        assert_eq!(written.find('\n'), Some(written.len() - 1));
        assert_eq!(serde_json::from_str::<mastside::triage::Row>(&written).ok().as_ref(), Some(&row));
        assert!(row.finding.is_some() != row.error.is_some());
        fleet.add(row);
    }
    // Lines that are no rows are an error with their number.
    let _ = rows::read(&[scratch::file("rows.jsonl", bytes)], |row| fleet.add(row));
    let overview = Overview::of(&fleet, None, chrono::TimeDelta::days(7));
    let mut out = String::new();
    text(&overview, 80, &mut out).expect("a string takes all");
    assert!(scratch::is_plain(&out));
    assert!(scratch::is_plain(&page(&overview)));
});
