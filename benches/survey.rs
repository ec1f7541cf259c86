//! A survey of a million samples gathered into its analysis, in memory that does not grow with it.

use mastside::survey::analysis::Analysis;
use mastside::survey::reading::Source;
use mastside::survey::sample::Sample;
use mastside::survey::simulate::{Pace, Place, Walker};
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
    let mut analysis = Analysis::default();
    let begin = Instant::now();
    let mut number = 0;
    let mut early = None;
    'all: for round in 0.. {
        for sample in &mut walk {
            number += 1;
            sample.number = number;
            sample.pass = round + 1;
            analysis.sample(sample);
            sample.at += length;
            if number == SAMPLES / 10 {
                early = resident_kb();
            }
            if number == SAMPLES {
                break 'all;
            }
        }
    }
    let page = mastside::survey::out::page(&analysis);
    let table = mastside::survey::out::table(&analysis);
    println!(
        "{SAMPLES} samples to figures, page ({} bytes) and table ({} bytes) in {:.2} s; memory after a tenth {early:?} kB, at the end {:?} kB",
        page.len(),
        table.len(),
        begin.elapsed().as_secs_f64(),
        resident_kb()
    );
}
