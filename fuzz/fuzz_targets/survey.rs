//! Any bytes as a survey file: its visits and every output of them without a panic; a line that reads is written to
//! the same line.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::survey::file::Lines;
use mastside::survey::{output, visits};

mod scratch;

fuzz_target!(|bytes: &[u8]| {
    let path = scratch::file("survey.jsonl", bytes);
    let Ok(lines) = Lines::open(&path) else { return };
    for line in lines.flatten() {
        let written = serde_json::to_string(&line).expect("a line can be written");
        let again = serde_json::from_str(&written).expect("what was written reads");
        assert_eq!(line, again);
    }
    let Ok(visits) = visits::read(&path) else { return };
    assert!(scratch::is_plain(&output::table(&visits)));
    assert!(scratch::is_plain(&output::page(&visits, chrono::NaiveDate::MIN)));
    output::csv(&visits);
    output::geojson(&visits);
    output::gpx(&visits);
});
