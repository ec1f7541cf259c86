//! A survey file of a million samples read, gathered and reported, in memory that does not grow with it.

use mastside::survey::reading::Source;
use mastside::survey::sample::{FORMAT, Head, Line, Sample};
use mastside::survey::simulate::{Pace, Place, Walker};
use mastside::survey::visits::latest;
use std::io::Write;
use std::time::Instant;

/// The memory that the process holds, kB; `None` where the system does not tell.
fn resident_kb() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    status.lines().find_map(|l| l.strip_prefix("VmRSS:")?.trim().split(' ').next()?.parse().ok())
}

fn main() {
    const SAMPLES: u64 = 1_000_000;
    let text = include_str!("../demo/walk/huts.toml");
    let mut walker = Walker::new(Place::parse(text).expect("the place reads"), Pace::AtOnce);
    let mut walk: Vec<Sample> = Vec::new();
    while let Some(reading) = walker.read().expect("the walk reads") {
        walk.push(Sample::of(reading, walk.len() as u64 + 1, 1, None));
    }
    let length = walk[walk.len() - 1].at - walk[0].at + chrono::Duration::seconds(1);
    let mut file = tempfile::NamedTempFile::new().expect("a file for the survey");
    let mut out = std::io::BufWriter::new(&mut file);
    let mut put = |line: &Line| {
        serde_json::to_writer(&mut out, line).expect("a line is written");
        out.write_all(b"\n").expect("a line is written");
    };
    put(&Line::Head(Head { format: FORMAT, ..Head::default() }));
    let mut number = 0;
    'all: for pass in 1.. {
        for sample in &mut walk {
            if number == SAMPLES {
                break 'all;
            }
            number += 1;
            (sample.number, sample.pass) = (number, pass);
            put(&Line::Sample(sample.clone()));
            sample.at += length;
        }
    }
    out.flush().expect("the file is written");
    drop(out);
    let megabytes = file.as_file().metadata().expect("the file's size").len() as f64 / 1e6;
    let before = resident_kb();
    let begin = Instant::now();
    let visit = latest(file.path()).expect("the survey reads");
    assert_eq!(visit.analysis.samples, SAMPLES);
    let read = begin.elapsed().as_secs_f64();
    let page = mastside::survey::output::page(std::slice::from_ref(&visit), chrono::NaiveDate::MIN);
    let table = mastside::survey::output::table(std::slice::from_ref(&visit));
    println!(
        "{SAMPLES} samples ({megabytes:.0} MB) read in {read:.2} s; with page ({} bytes) and table ({} bytes) {:.2} s; memory before {before:?} kB, at the end {:?} kB",
        page.len(),
        table.len(),
        begin.elapsed().as_secs_f64(),
        resident_kb()
    );
}
