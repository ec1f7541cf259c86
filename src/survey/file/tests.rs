//! What a survey file keeps through kills, damage and two programs, and that written lines are read back.

use super::*;
use crate::survey::sample::{
    Cell, Levels, Mark, MarkKind, Neighbour, Position, tests_sample as sample,
};
use chrono::{DateTime, Utc};
use proptest::prelude::*;

fn written(folder: &Path, samples: u64) -> PathBuf {
    let path = folder.join("walk.survey");
    let (mut file, _) = SurveyFile::open(&path, &Head::default()).unwrap();
    for n in 1..=samples {
        file.append(&Line::Sample(sample(n))).unwrap();
    }
    path
}

#[test]
fn a_file_cut_at_any_byte_opens_and_keeps_every_whole_line() {
    let folder = tempfile::tempdir().unwrap();
    let path = written(folder.path(), 3);
    let whole = std::fs::read(&path).unwrap();
    for cut in 0..whole.len() {
        std::fs::write(&path, &whole[..cut]).unwrap();
        let ends = memchr::memchr_iter(b'\n', &whole[..cut]).count() as u64;
        let (mut file, found) = SurveyFile::open(&path, &Head::default()).unwrap();
        assert_eq!(found.samples, ends.saturating_sub(1), "cut at {cut}");
        let number = file.next_number();
        file.append(&Line::Sample(sample(number))).unwrap();
        drop(file);
        let lines: Vec<_> = Lines::open(&path).unwrap().collect();
        assert!(lines.iter().all(Result::is_ok), "cut at {cut}");
        assert_eq!(lines.len() as u64, found.samples + 1);
    }
}

#[test]
fn a_file_of_another_kind_is_refused_and_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("letter.txt");
    for text in ["Dear reader", "Dear reader\nno survey", "{\"head\":{\"format\":9}}\n"] {
        std::fs::write(&path, text).unwrap();
        assert!(SurveyFile::open(&path, &Head::default()).is_err());
        assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
    }
}

#[test]
fn two_programs_cannot_record_into_one_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("walk.survey");
    let (_held, _) = SurveyFile::open(&path, &Head::default()).unwrap();
    assert!(matches!(SurveyFile::open(&path, &Head::default()), Err(FileError::Busy { .. })));
}

#[test]
fn a_damaged_line_is_told_with_its_number_and_the_rest_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let path = written(folder.path(), 1);
    let mut text = std::fs::read(&path).unwrap();
    text.extend_from_slice(b"\xff\x00 not a line\n");
    text.extend_from_slice(&serde_json::to_vec(&Line::Sample(sample(2))).unwrap());
    text.push(b'\n');
    std::fs::write(&path, &text).unwrap();
    let mut lines = Lines::open(&path).unwrap();
    let read: Vec<_> = (&mut lines).collect();
    assert_eq!(read[1].as_ref().unwrap_err().number, 3);
    assert_eq!((read.len(), lines.damaged), (3, 1));
}

prop_compose! {
    fn samples()(
        number in 1u64..1 << 50, ms in 0i64..4_000_000_000_000, spot in ".{0,30}", pass in 1u32..99,
        place in prop::option::of((-900_000_000i32..900_000_000, -1_800_000_000i32..1_800_000_000, prop::option::of(0u16..1000))),
        rsrp in prop::option::of(-160i32..-20), heading in prop::option::of(0u16..3600),
        cell_id in prop::option::of(0u64..1 << 36), tac in "[0-9A-F]{0,4}", heard in 0usize..4,
    ) -> Sample {
        Sample {
            number,
            at: DateTime::<Utc>::from_timestamp_millis(ms).unwrap(),
            spot,
            pass,
            position: place.map(|(north, east, accuracy)| Position { latitude: f64::from(north) / 1e7, longitude: f64::from(east) / 1e7, altitude_m: None, accuracy_m: accuracy.map(|a| f64::from(a) / 10.0) }),
            heading_deg: heading.map(|h| f64::from(h) / 10.0),
            cell: Cell { cell_id, tac_hex: tac, ..Cell::default() },
            levels: Levels { rsrp_dbm: rsrp.map(f64::from), ..Levels::default() },
            registration: Some(5),
            branches_dbm: vec![Some(-97.0), None],
            neighbours: vec![Neighbour { pci: Some(3), channel: None, rsrp_dbm: Some(-101.5) }; heard],
            bandwidth_mhz: Some(1.4),
            took_ms: 7,
        }
    }
}

proptest! {
    #[test]
    fn a_line_that_is_written_is_read_back(sample in samples(), text in ".{0,40}") {
        let mark = Line::Mark(Mark { at: sample.at, kind: MarkKind::Note, text });
        for line in [Line::Sample(sample), mark] {
            let text = serde_json::to_string(&line).unwrap();
            prop_assert!(!text.contains('\n'));
            prop_assert_eq!(serde_json::from_str::<Line>(&text).unwrap(), line);
        }
    }
}
