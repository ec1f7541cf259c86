//! What is gathered from samples: spots near their truth, events, watched time, registration apart from levels.

use super::*;
use crate::survey::reading::Source;
use crate::survey::simulate::{Pace, Place, Walker};

fn walk() -> (Place, Analysis) {
    let place = Place::parse(include_str!("../../../demo/walk/huts.toml")).unwrap();
    let mut walker = Walker::new(place.clone(), Pace::AtOnce);
    let mut analysis = Analysis::default();
    let mut number = 0;
    while let Some(reading) = walker.read().unwrap() {
        number += 1;
        analysis.sample(&Sample::of(reading, number, 1, None));
    }
    (place, analysis)
}

#[test]
fn the_walk_gives_each_spot_near_its_truth() {
    let (place, analysis) = walk();
    assert_eq!(analysis.spots.len(), place.stop.len());
    for (spot, stop) in analysis.spots.iter().zip(&place.stop) {
        let main = spot.main().unwrap();
        let mast = place.mast.iter().find(|m| Some(m.cell_id) == main.cell.cell_id).unwrap();
        let truth = place.true_rsrp(mast, spot.position().unwrap(), None) - stop.wall_db;
        let median = main.level().unwrap().median;
        // Choosing the stronger cell lifts its median where two are near in level.
        assert!((median - truth).abs() < 3.0, "{}: {median} against {truth}", spot.name);
    }
}

#[test]
fn gaps_and_the_time_between_passes_are_not_watched() {
    let mut analysis = Analysis::default();
    let mut sample = crate::survey::sample::tests_sample(1);
    let begin = sample.at;
    for (seconds, pass) in [(0, 1), (10, 1), (15, 1), (60, 1), (62, 1), (70, 2), (75, 2)] {
        sample.at = begin + chrono::Duration::seconds(seconds);
        sample.pass = pass;
        analysis.sample(&sample);
    }
    assert_eq!(analysis.watched_s, 22.0);
}

#[test]
fn a_lost_registration_is_an_event_and_not_a_level() {
    let mut analysis = Analysis::default();
    let mut sample = crate::survey::sample::tests_sample(1);
    for (n, stat) in [(1, 1), (2, 1), (3, 2), (4, 2), (5, 1)] {
        sample.number = n;
        sample.registration = Some(stat);
        analysis.sample(&sample);
    }
    let kinds: Vec<_> = analysis.events.iter().map(|e| e.kind).collect();
    assert_eq!(kinds, [EventKind::Lost, EventKind::Back]);
    assert_eq!((analysis.spots[0].unregistered, analysis.spots[0].cells[0].rsrp.count()), (2, 3));
}

#[test]
fn another_cell_is_an_event_and_a_series_of_its_own() {
    let mut analysis = Analysis::default();
    let mut sample = crate::survey::sample::tests_sample(1);
    for pci in [12, 12, 99, 12] {
        sample.cell.pci = Some(pci);
        analysis.sample(&sample);
    }
    assert_eq!(analysis.spots[0].cells.len(), 2);
    assert_eq!((analysis.spots[0].cell_changes, analysis.event_count), (2, 2));
    assert_eq!(analysis.spots[0].main().unwrap().rsrp.count(), 3);
}
