//! Files of the first forms that users hold: surveys, the CSV, criteria, a record, a simulated place.
//!
//! Each was written by the first program of its form and stays as it is; what reads them may grow.

use mastside::commission::{Criteria, Measure, Outcome, Record};
use mastside::survey::analysis::EventKind;
use mastside::survey::simulate::Place;
use mastside::survey::visits::latest;
use std::path::{Path, PathBuf};

fn held(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/held").join(name)
}

fn text(name: &str) -> String {
    std::fs::read_to_string(held(name)).unwrap()
}

#[test]
fn a_survey_of_the_first_form_is_read_whole() {
    let analysis = latest(&held("survey.jsonl")).unwrap().analysis;
    assert_eq!((analysis.samples, analysis.damaged), (60, 0));
    assert_eq!(analysis.head.title, "Ford, first visit");
    assert!(analysis.head.rehearsal);
    let names: Vec<_> = analysis.spots.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["ford, left bank", "ford, right bank"]);
    assert_eq!(analysis.spots[0].cells[0].cell.plmn, "00101");
}

#[test]
fn a_survey_of_a_live_modem_keeps_its_receive_branches_neighbours_and_marks() {
    let analysis = latest(&held("survey-live.jsonl")).unwrap().analysis;
    assert_eq!((analysis.samples, analysis.damaged), (2, 0));
    assert_eq!(analysis.head.modem, "model M7, firmware 2.4");
    let spot = &analysis.spots[0];
    assert_eq!((spot.unregistered, spot.heard.len()), (1, 2));
    let kinds: Vec<_> = analysis.events.iter().map(|e| e.kind).collect();
    assert_eq!(kinds, [EventKind::NoAnswer, EventKind::Note, EventKind::Lost]);
}

#[test]
fn the_columns_of_the_first_csv_keep_their_names_and_order() {
    let old = text("survey.csv");
    let header = old.lines().next().unwrap();
    let now = mastside::survey::output::csv(&[latest(&held("survey.jsonl")).unwrap()]);
    let now = now.lines().next().unwrap();
    assert!(now.starts_with(header), "{now}");
}

#[test]
fn criteria_and_a_record_of_the_first_form_are_read() {
    let criteria = Criteria::parse(&text("criteria.toml")).unwrap();
    assert_eq!(criteria.level.len(), 2);
    assert_eq!(criteria.level[1].of, Measure::Sinr);
    assert_eq!(criteria.restart_seconds, Some(120.0));
    let record: Record = serde_json::from_str(&text("record.json")).unwrap();
    assert_eq!(record.outcome, Outcome::Incomplete);
    assert_eq!(record.criteria, criteria);
    assert_eq!(record.results[1].figure.unwrap().value, 15.75);
}

#[test]
fn a_simulated_place_of_the_first_form_is_read() {
    let place = Place::parse(&text("place.toml")).unwrap();
    assert_eq!((place.stop.len(), place.stop[1].wall_db), (2, 14.0));
}
