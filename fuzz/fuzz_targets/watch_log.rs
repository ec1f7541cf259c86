//! Any bytes as the log of a watch: opened for more, which mends its end, and reported.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::watch::{Head, Limits, Log, report};

mod scratch;

fuzz_target!(|bytes: &[u8]| {
    let path = scratch::file("watch.jsonl", bytes);
    let captures = path.with_file_name("captures");
    let limits = Limits { file: u64::MAX, whole: u64::MAX };
    let head = Head::of("weir", 30.0, None, false);
    let Ok((log, found)) = Log::open(&path, &captures, head, limits, chrono::DateTime::UNIX_EPOCH)
    else {
        assert_eq!(std::fs::read(&path).ok().as_deref(), Some(bytes), "a refused file is as it was");
        return;
    };
    drop(log);
    let now = std::fs::read(&path).expect("the log is there");
    let whole = bytes.len() - usize::try_from(found.torn_bytes).expect("a part of the file");
    assert!(now.starts_with(&bytes[..whole]), "whole lines stay");
    let Ok(sites) = report::read_all(&[path]) else { return };
    assert!(scratch::is_plain(&report::text(&sites)));
    assert!(scratch::is_plain(&report::page(&sites)));
});
