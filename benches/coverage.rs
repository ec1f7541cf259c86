//! How often bounds hold the truth, and how often a comparison finds what is there and what is not: 2,000 seeded
//! series for each correlation time and length. The seeds were fixed before the method.
//!
//! Printed: the share of series that got bounds; the share whose bounds miss (of all, and of those with bounds).

use chrono::{DateTime, Utc};
use mastside::commission::{Criteria, Level, Measure, Outcome, Watch, judge};
use mastside::compare::{Limits, surveys};
use mastside::random::Random;
use mastside::statistics::{Plan, Series, difference, spread};
use mastside::survey::analysis::Analysis;
use mastside::survey::sample::{Cell, FORMAT, Head, Levels, Sample};
use mastside::survey::visits::Visit;
use std::time::Duration;

const SEED: u64 = 20_260_501;
const SERIES: u32 = 2_000;
const DEVIATION_DB: f64 = 5.0;
const MEDIAN_DBM: f64 = -97.3;
/// The tenth percentile of a normal distribution.
const P10_DBM: f64 = MEDIAN_DBM - 1.281_551_6 * DEVIATION_DB;

/// Gaussian fading in dB, first-order, with a correlation time in samples.
struct Fading {
    rho: f64,
    state: f64,
}

impl Fading {
    fn new(random: &mut Random, time: f64) -> Self {
        Self { rho: (-1.0 / time).exp(), state: random.normal() }
    }

    fn next(&mut self, random: &mut Random) -> f64 {
        let innovation = (1.0 - self.rho * self.rho).sqrt() * random.normal();
        self.state = self.rho * self.state + innovation;
        self.state
    }
}

fn series(random: &mut Random, time: f64, count: u32, shift_db: f64) -> Series {
    let mut fading = Fading::new(random, time);
    let mut series = Series::new();
    for i in 0..count {
        let level = MEDIAN_DBM + shift_db + DEVIATION_DB * fading.next(random);
        series.push(f64::from(i), level.round());
    }
    series
}

#[derive(Default)]
struct Tally {
    bounds: u32,
    missed: u32,
}

impl Tally {
    fn take(&mut self, bounds: Option<(f64, f64)>, truth: f64) {
        if let Some((low, high)) = bounds {
            self.bounds += 1;
            self.missed += u32::from(truth < low || truth > high);
        }
    }

    fn words(&self, of: u32) -> String {
        let percent = |part: u32, all: u32| 100.0 * f64::from(part) / f64::from(all.max(1));
        format!(
            "bounds {:5.1} %, missed {:4.1} % of all, {:4.1} % of those",
            percent(self.bounds, of),
            percent(self.missed, of),
            percent(self.missed, self.bounds)
        )
    }
}

fn coverage() {
    for time in [2.0, 10.0, 50.0, 200.0] {
        for count in [120, 600, 3000] {
            let mut random = Random::seeded(SEED);
            let (mut median, mut p10, mut shift) =
                (Tally::default(), Tally::default(), Tally::default());
            for _ in 0..SERIES {
                let first = series(&mut random, time, count, 0.0);
                let second = series(&mut random, time, count, 4.0);
                let figures = spread(&first).expect("there are samples");
                median.take(figures.median_interval.map(|i| (i.low, i.high)), MEDIAN_DBM);
                p10.take(figures.p10_interval.map(|i| (i.low, i.high)), P10_DBM);
                shift.take(difference(&second, &first).map(|d| (d.low_db, d.high_db)), 4.0);
            }
            println!("correlation time {time:3}, {count:4} samples");
            println!("  median  {}", median.words(SERIES));
            println!("  p10     {}", p10.words(SERIES));
            println!("  shift   {}", shift.words(SERIES));
        }
    }
}

fn planned() {
    for time in [2.0, 10.0, 50.0] {
        let mut random = Random::seeded(SEED + 1);
        let mut tally = Tally::default();
        let mut narrow = 0;
        for _ in 0..SERIES {
            let mut fading = Fading::new(&mut random, time);
            let (mut run, mut plan) = (Series::new(), Plan::new(2.0));
            for i in 0..60_000 {
                let level = MEDIAN_DBM + DEVIATION_DB * fading.next(&mut random);
                run.push(f64::from(i), level.round());
                if i % 5 == 4 && plan.is_done(&run) {
                    break;
                }
            }
            let bounds = spread(&run).and_then(|s| s.median_interval);
            narrow += u32::from(bounds.is_some_and(|i| i.width() <= 2.0));
            tally.take(bounds.map(|i| (i.low, i.high)), MEDIAN_DBM);
        }
        println!(
            "--within 2 dB, correlation time {time:3}: {}, {:.0} % as narrow as wished",
            tally.words(SERIES),
            100.0 * f64::from(narrow) / f64::from(SERIES)
        );
    }
}

fn sample(number: u64, at: DateTime<Utc>, spot: String, rsrp_dbm: f64) -> Sample {
    Sample {
        number,
        at,
        spot,
        pass: 1,
        position: None,
        heading_deg: None,
        cell: Cell { pci: Some(12), ..Cell::default() },
        levels: Levels { rsrp_dbm: Some(rsrp_dbm), ..Levels::default() },
        registration: Some(1),
        neighbours: Vec::new(),
        branches_dbm: Vec::new(),
        bandwidth_mhz: None,
        took_ms: 400,
    }
}

/// A visit to `spots` spots with about 50 independent samples each.
fn visit(random: &mut Random, spots: u32, shift_db: f64, between_db: f64) -> Visit {
    let mut analysis = Analysis::new(Head { format: FORMAT, ..Head::default() });
    let mut at = chrono::DateTime::UNIX_EPOCH;
    for spot in 0..spots {
        let level = MEDIAN_DBM + shift_db + between_db * random.normal();
        let mut fading = Fading::new(random, 2.0);
        for number in 0..204 {
            at += chrono::TimeDelta::seconds(1);
            let level = level + 4.0 * fading.next(random);
            analysis.sample(&sample(number, at, format!("spot {spot}"), level.round()));
        }
    }
    Visit { path: "w".into(), site: "Hut".into(), analysis }
}

fn compared() {
    const SPOTS: u32 = 400;
    let mut random = Random::seeded(SEED + 2);
    let mut run = |words: &str, shift_db: f64, between_db: f64, limits: Limits| {
        let before = visit(&mut random, SPOTS, 0.0, between_db);
        let after = visit(&mut random, SPOTS, shift_db, between_db);
        let found = surveys(&[before], &[after], limits).changes.len();
        println!("{words}: {found} of {SPOTS} called changed");
    };
    let given = Limits { between_db: Some(0.0), ..Limits::default() };
    run("no variation between visits, unchanged", 0.0, 0.0, given);
    run("no variation between visits, -3 dB", -3.0, 0.0, given);
    run("1.5 dB between visits, unchanged", 0.0, 1.5, Limits::default());
    run("1.5 dB between visits, -8 dB", -8.0, 1.5, Limits::default());
    // One spot at a time, without the help of the others.
    let mut alone = |words: &str, shift_db: f64, between_db: f64, limits: Limits| {
        let found = (0..SPOTS)
            .filter(|_| {
                let before = visit(&mut random, 1, 0.0, between_db);
                let after = visit(&mut random, 1, shift_db, between_db);
                !surveys(&[before], &[after], limits).changes.is_empty()
            })
            .count();
        println!("one spot at a time, {words}: {found} of {SPOTS} called changed");
    };
    alone("no variation, unchanged", 0.0, 0.0, given);
    alone("no variation, -3 dB", -3.0, 0.0, given);
    alone("1.5 dB between visits, unchanged", 0.0, 1.5, Limits::default());
    alone("1.5 dB between visits, -8 dB", -8.0, 1.5, Limits::default());
}

/// How often acceptance at the end of its own watch passes a site just below the mark, or fails one just above it.
fn accepted() {
    for time in [2.0, 10.0, 50.0, 200.0] {
        for (words, offset_db) in [("0.2 dB below the mark", -0.2), ("0.2 dB above the mark", 0.2)]
        {
            let level =
                Level { of: Measure::Rsrp, percentile: 10.0, at_least: P10_DBM - offset_db };
            let criteria = Criteria {
                level: vec![level],
                samples: Some(120),
                registered_percent: None,
                ..Criteria::default()
            };
            let mut random = Random::seeded(SEED + 3);
            let (mut passed, mut failed, mut samples) = (0, 0, 0);
            for _ in 0..SERIES {
                let mut fading = Fading::new(&mut random, time);
                let mut watch = Watch::new(&criteria, Duration::from_hours(1));
                let mut analysis = Analysis::new(Head { format: FORMAT, ..Head::default() });
                let mut at = chrono::DateTime::UNIX_EPOCH;
                for number in 0.. {
                    at += chrono::TimeDelta::seconds(1);
                    let level = MEDIAN_DBM + DEVIATION_DB * fading.next(&mut random);
                    let sample = sample(number, at, String::new(), level.round());
                    analysis.sample(&sample);
                    samples += 1;
                    if !watch.take(&sample) {
                        break;
                    }
                }
                for measured in judge(&criteria, &analysis, None) {
                    if measured.criterion.contains("RSRP") {
                        passed += u32::from(measured.outcome == Outcome::Passed);
                        failed += u32::from(measured.outcome == Outcome::Failed);
                    }
                }
            }
            let percent = |part: u32| 100.0 * f64::from(part) / f64::from(SERIES);
            println!(
                "acceptance, correlation time {time:3}, {words}: passed {:.1} %, failed {:.1} %, the rest incomplete; {} samples on average",
                percent(passed),
                percent(failed),
                samples / SERIES
            );
        }
    }
}

fn main() {
    // `cargo bench --bench coverage -- accepted` runs one part alone.
    let parts: [(&str, fn()); 4] = [
        ("coverage", coverage),
        ("planned", planned),
        ("compared", compared),
        ("accepted", accepted),
    ];
    let wanted: Vec<_> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    for (name, part) in parts {
        if wanted.is_empty() || wanted.iter().any(|w| w == name) {
            part();
        }
    }
}
