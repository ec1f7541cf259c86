use super::*;
use crate::survey::sample::tests_sample;
use std::io::Read;

fn begin() -> DateTime<Utc> {
    DateTime::from_timestamp(1_790_000_000, 0).unwrap()
}

const WIDE: Limits = Limits { file: 1 << 30, whole: 1 << 30 };

fn open(folder: &Path, limits: Limits) -> Result<(Log, Found), LogError> {
    let head = Head::of("Heron Pool", 30.0, None, false);
    Log::open(&folder.join("watch.jsonl"), &folder.join("captures"), head, limits, begin())
}

fn sample(number: u64) -> Entry {
    let mut sample = tests_sample(number);
    sample.at = begin() + std::time::Duration::from_secs(number);
    Entry::Sample(sample)
}

/// The numbers of all samples, over all files.
fn numbers(folder: &Path) -> Vec<u64> {
    let mut found = Vec::new();
    for file in files(&folder.join("watch.jsonl")).unwrap() {
        let mut text = String::new();
        let mut plain = File::open(&file).unwrap();
        if file.extension().unwrap() == "gz" {
            flate2::read::GzDecoder::new(plain).read_to_string(&mut text).unwrap();
        } else {
            plain.read_to_string(&mut text).unwrap();
        }
        assert!(text.starts_with("{\"head\":{\"format\":1"), "{text}");
        for line in text.lines() {
            if let Entry::Sample(sample) = serde_json::from_str(line).unwrap() {
                found.push(sample.number);
            }
        }
    }
    found
}

#[test]
fn a_torn_last_line_is_cut_off_and_the_rest_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    let (mut log, _) = open(folder.path(), WIDE).unwrap();
    for number in 1..=3 {
        log.append(&sample(number), begin()).unwrap();
    }
    drop(log);
    let whole = std::fs::read(folder.path().join("watch.jsonl")).unwrap();
    for cut in 0..whole.len() {
        std::fs::write(folder.path().join("watch.jsonl"), &whole[..cut]).unwrap();
        let (mut log, found) = open(folder.path(), WIDE).unwrap();
        let kept = whole[..cut].iter().rposition(|b| *b == b'\n').map_or(0, |at| at + 1);
        assert_eq!(found.torn_bytes, (cut - kept) as u64);
        log.append(&sample(9), begin()).unwrap();
        drop(log);
        assert_eq!(numbers(folder.path()), (1..=found.number).chain([9]).collect::<Vec<_>>());
    }
}

#[test]
fn another_file_is_never_touched() {
    let folder = tempfile::tempdir().unwrap();
    for text in ["a letter\n", "no line end", "{\"sample\":1}\n"] {
        std::fs::write(folder.path().join("watch.jsonl"), text).unwrap();
        assert!(matches!(open(folder.path(), WIDE), Err(LogError::NotALog(_))), "{text}");
        assert_eq!(std::fs::read_to_string(folder.path().join("watch.jsonl")).unwrap(), text);
    }
}

#[test]
fn a_log_of_a_similar_name_is_another_log() {
    let folder = tempfile::tempdir().unwrap();
    for name in [
        "watch-2.jsonl",
        "watch-20260901.jsonl",
        "watch-old.jsonl.gz",
        "watch-20260901T000000.jsonl",
    ] {
        std::fs::write(folder.path().join(name), "mine").unwrap();
    }
    let (mut log, _) = open(folder.path(), Limits { file: 100, whole: 1 }).unwrap();
    log.append(&sample(1), begin()).unwrap();
    log.rotate(begin()).unwrap();
    for name in [
        "watch-2.jsonl",
        "watch-20260901.jsonl",
        "watch-old.jsonl.gz",
        "watch-20260901T000000.jsonl",
    ] {
        assert_eq!(std::fs::read_to_string(folder.path().join(name)).unwrap(), "mine");
    }
}

#[test]
fn one_log_has_one_writer() {
    let folder = tempfile::tempdir().unwrap();
    let (mut log, _) = open(folder.path(), WIDE).unwrap();
    assert!(matches!(open(folder.path(), WIDE), Err(LogError::Busy(_))));
    log.append(&sample(5), begin()).unwrap();
    log.rotate(begin()).unwrap();
    assert!(matches!(open(folder.path(), WIDE), Err(LogError::Busy(_))), "behind a rotation, too");
    drop(log);
    let (_, found) = open(folder.path(), WIDE).unwrap();
    assert_eq!(found.number, 5, "as the head of the new file says");
}

#[test]
fn files_are_put_away_by_size_and_by_day_and_nothing_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    let (mut log, _) = open(folder.path(), Limits { file: 2000, ..WIDE }).unwrap();
    for number in 1..=100 {
        log.append(&sample(number), begin()).unwrap();
    }
    let by_size = files(log.path()).unwrap().len();
    assert!(by_size > 5, "{by_size}");
    log.append(&sample(101), begin() + chrono::TimeDelta::days(1)).unwrap();
    assert_eq!(files(log.path()).unwrap().len(), by_size + 1);
    assert_eq!(numbers(folder.path()), (1..=101).collect::<Vec<_>>());
    let plain =
        put_away(log.path()).unwrap().into_iter().filter(|f| f.extension().unwrap() != "gz");
    assert_eq!(plain.count(), 0);
}

#[test]
fn the_oldest_go_where_the_whole_grows_too_large() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("captures")).unwrap();
    std::fs::write(folder.path().join("captures/outage-20260901T000000Z-2.txt"), [b'x'; 900])
        .unwrap();
    let (mut log, _) = open(folder.path(), Limits { file: 3000, whole: 4000 }).unwrap();
    for number in 1..=400 {
        log.append(&sample(number), begin()).unwrap();
    }
    let old: u64 = put_away(log.path()).unwrap().iter().map(|f| f.metadata().unwrap().len()).sum();
    assert!((2000..=4000).contains(&old), "{old}");
    assert!(!folder.path().join("captures/outage-20260901T000000Z-2.txt").exists());
    let left = numbers(folder.path());
    assert_eq!(left.last(), Some(&400));
    assert!(left.windows(2).all(|w| w[0] + 1 == w[1]));
}

/// The folder of the dialogues may be any folder: only the names that the watch gives are its own.
#[test]
fn foreign_files_beside_the_dialogues_stay() {
    for captures in ["", "captures"] {
        let folder = tempfile::tempdir().unwrap();
        let beside = folder.path().join(captures);
        std::fs::create_dir_all(&beside).unwrap();
        let foreign = [
            "holiday.jpg",
            "outage-list.txt",
            "outage-20260901T000000Z.txt.bak",
            "outage-20260901T000000Z-.txt",
            "my-outage-20260901T000000Z.txt",
            "other.jsonl",
        ];
        for name in foreign {
            std::fs::write(beside.join(name), vec![b'x'; 9000]).unwrap();
        }
        std::fs::write(beside.join("outage-20260901T000000Z.txt"), "AT\nOK\n").unwrap();
        let head = Head::of("Heron Pool", 30.0, None, false);
        let limits = Limits { file: 3000, whole: 1 };
        let log = folder.path().join("watch.jsonl");
        let (mut log, _) = Log::open(&log, &beside, head, limits, begin()).unwrap();
        for number in 1..=40 {
            log.append(&sample(number), begin()).unwrap();
        }
        assert!(foreign.iter().all(|name| beside.join(name).exists()), "{captures:?}");
        assert!(!beside.join("outage-20260901T000000Z.txt").exists());
        assert!(log.path().exists());
    }
}

#[test]
fn what_a_kill_leaves_of_a_compression_is_put_in_order() {
    let folder = tempfile::tempdir().unwrap();
    let (mut log, _) = open(folder.path(), WIDE).unwrap();
    log.append(&sample(1), begin()).unwrap();
    drop(log);
    let old = folder.path().join("watch-20260901T000000Z.jsonl");
    std::fs::rename(folder.path().join("watch.jsonl"), &old).unwrap();
    std::fs::write(with_end(&old, ".gz.part"), "half").unwrap();
    std::fs::write(with_end(&old, ".gz"), "not whole, as after a power cut").unwrap();
    assert_eq!(files(&folder.path().join("watch.jsonl")).unwrap(), std::slice::from_ref(&old));
    let (mut log, _) = open(folder.path(), WIDE).unwrap();
    log.append(&sample(2), begin()).unwrap();
    assert_eq!(numbers(folder.path()), [1, 2]);
    assert!(!old.exists() && !with_end(&old, ".gz.part").exists());
}

/// A full disk, as a file that takes nothing behind the present one.
#[test]
fn a_disk_that_takes_nothing_is_an_event_and_no_end() {
    let folder = tempfile::tempdir().unwrap();
    let (mut log, _) = open(folder.path(), WIDE).unwrap();
    log.append(&sample(1), begin()).unwrap();
    let good = log.file.try_clone().unwrap();
    log.file = File::open(log.path()).unwrap();
    let refusal = (&log.file).write_all(b"x").unwrap_err();
    let error = log.append(&sample(2), begin()).unwrap_err();
    assert_eq!(error.to_string(), refusal.to_string(), "why the line failed, not the mending");
    for number in 3..=4 {
        assert!(log.append(&sample(number), begin()).is_err());
    }
    let lost = Event::new(begin(), Kind::RegistrationLost, "searching");
    assert!(log.append(&Entry::Event(lost), begin()).is_err());
    assert!(log.is_behind());
    let half = b"{\"sample\":{\"number\":4,";
    File::options().append(true).open(log.path()).unwrap().write_all(half).unwrap();
    log.file = good;
    log.append(&sample(5), begin()).unwrap();
    assert!(!log.is_behind());
    let text = std::fs::read_to_string(log.path()).unwrap();
    let kinds: Vec<_> = text.lines().map(|l| serde_json::from_str::<Entry>(l).unwrap()).collect();
    assert!(matches!(&kinds[2], Entry::Event(e) if e.kind == Kind::RegistrationLost));
    assert!(matches!(&kinds[3], Entry::Event(e) if e.kind == Kind::LogGap && e.count == Some(3)));
    assert_eq!(numbers(folder.path()), [1, 5]);
}
