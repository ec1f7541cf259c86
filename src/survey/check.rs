//! Which samples of a survey file can be trusted: values inside the standards' ranges, each sample once, a clock
//! that runs forward.
//!
//! What cannot be is left out and said with its line. Numbers of samples run upwards in a file, so a number that
//! was seen before is a repeated line, and a smaller one that was not seen stands in the wrong place.

use super::sample::{Levels, Position, Sample};
use chrono::{DateTime, TimeDelta, Utc};
use std::collections::BTreeMap;
use std::fmt;

/// Within one pass no modem is silent for longer than this (common practice, no source).
const LONGEST_PAUSE: TimeDelta = TimeDelta::days(1);

/// The most problems that are kept with their lines; the others are counted.
const MOST_KEPT: usize = 20;

/// The reporting ranges: key, lowest, highest, unit, source. They are the widest of the technologies that the key
/// serves.
const RANGES: [(&str, f64, f64, &str, &str); 4] = [
    ("rsrp_dbm", -157.0, -25.0, "dBm", "TS 38.133 10.1.6, TS 36.133 9.1.4, TS 25.133 9.1.1"),
    ("rsrq_db", -43.5, 20.0, "dB", "TS 38.133 10.1.11"),
    ("sinr_db", -23.5, 50.0, "dB", "TS 38.133 10.1.16, with room for vendors' own scales"),
    ("rssi_dbm", -140.0, 0.0, "dBm", "common practice, no source"),
];

/// Something that is wrong with a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The line of the file, from 1.
    pub line: u64,
    /// What is wrong, and what was done.
    pub what: String,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.what)
    }
}

/// The problems of a file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Problems {
    /// The first ones.
    pub first: Vec<Problem>,
    /// All of them.
    pub count: u64,
}

impl Problems {
    /// Notes one more.
    pub fn add(&mut self, line: u64, what: String) {
        self.count += 1;
        if self.first.len() < MOST_KEPT {
            self.first.push(Problem { line, what });
        }
    }
}

/// What was seen of a file so far.
#[derive(Clone, Debug, Default)]
pub struct Check {
    /// Numbers that were seen, as ranges: first and last.
    seen: BTreeMap<u64, u64>,
    last: Option<(u64, DateTime<Utc>, u32)>,
    suspect: Option<(u64, DateTime<Utc>)>,
    /// What the clock of the samples is ahead of the first one's.
    shift: TimeDelta,
    /// Samples that stood in the wrong place.
    pub misplaced: u64,
}

impl Check {
    /// Whether a sample can be trusted: by how much its clock is ahead of the first one's, or why not.
    ///
    /// A pass whose clock lies before that of the pass before goes on from there; that is said in the second part.
    ///
    /// # Errors
    ///
    /// What is wrong, in words for the person who holds the file.
    pub fn sample(&mut self, sample: &Sample) -> Result<(TimeDelta, Option<&'static str>), String> {
        values(&sample.levels)?;
        place(sample.position.as_ref())?;
        if !self.note(sample.number) {
            return Err(format!("sample {} is in the file twice; left out", sample.number));
        }
        let Some((number, at, pass)) = self.last else {
            self.last = Some((sample.number, sample.at, sample.pass));
            return Ok((self.shift, None));
        };
        if sample.number < number {
            self.misplaced += 1;
            return Err(format!(
                "sample {} comes after sample {number}, and it was taken before; left out",
                sample.number
            ));
        }
        let step = sample.at - at;
        if pass != sample.pass && step <= TimeDelta::zero() {
            self.shift += step - TimeDelta::seconds(1);
            self.suspect = None;
            self.last = Some((sample.number, sample.at, sample.pass));
            return Ok((
                self.shift,
                Some(
                    "the clock of this pass lies before that of the pass before; times go on from there",
                ),
            ));
        }
        if step.is_zero() {
            return Err(format!(
                "sample {} was taken at the same moment as sample {number}; left out",
                sample.number
            ));
        }
        let jumps = step < TimeDelta::zero() || (pass == sample.pass && step > LONGEST_PAUSE);
        if jumps {
            let goes_on = self.suspect.is_some_and(|(before, then)| {
                before < sample.number
                    && (TimeDelta::zero()..TimeDelta::hours(1)).contains(&(sample.at - then))
            });
            if !goes_on {
                self.suspect = Some((sample.number, sample.at));
                return Err(format!(
                    "the clock jumps from {} to {}; left out",
                    at.format("%Y-%m-%d %H:%M:%S"),
                    sample.at.format("%Y-%m-%d %H:%M:%S")
                ));
            }
            // The clock was set: time goes on from where it was.
            self.shift += step - TimeDelta::seconds(1);
        }
        self.suspect = None;
        self.last = Some((sample.number, sample.at, sample.pass));
        Ok((self.shift, None))
    }

    /// Notes a number; whether it is new.
    fn note(&mut self, number: u64) -> bool {
        let before = self.seen.range(..=number).next_back().map(|(a, b)| (*a, *b));
        match before {
            Some((_, last)) if last >= number => return false,
            Some((first, last)) if last + 1 == number => {
                self.seen.insert(first, number);
            }
            _ => {
                self.seen.insert(number, number);
            }
        }
        true
    }
}

fn values(levels: &Levels) -> Result<(), String> {
    let values = [levels.rsrp_dbm, levels.rsrq_db, levels.sinr_db, levels.rssi_dbm];
    for ((name, low, high, unit, source), value) in RANGES.into_iter().zip(values) {
        if let Some(value) = value.filter(|v| !(low..=high).contains(v)) {
            return Err(format!(
                "{name} {value} lies outside {low} to {high} {unit} ({source}); the sample is left out"
            ));
        }
    }
    Ok(())
}

fn place(position: Option<&Position>) -> Result<(), String> {
    let Some(p) = position else { return Ok(()) };
    for (name, value, most) in [("latitude", p.latitude, 90.0), ("longitude", p.longitude, 180.0)] {
        if value.is_nan() || value.abs() > most {
            return Err(format!(
                "{name} {value} lies outside -{most} to {most} degrees (WGS 84); the sample is left out"
            ));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::sample::tests_sample;

    fn at(number: u64, seconds: i64) -> Sample {
        let mut sample = tests_sample(number);
        sample.at += TimeDelta::seconds(seconds);
        sample
    }

    #[test]
    fn impossible_values_are_said_with_their_range() {
        let mut check = Check::default();
        for (value, wrong) in [(255.0, true), (-9500.0, true), (-156.0, false), (f64::NAN, true)] {
            let mut sample = at(if wrong { 1 } else { 2 }, 0);
            sample.levels.rsrp_dbm = Some(value);
            assert_eq!(check.sample(&sample).is_err(), wrong, "{value}");
        }
        let mut sample = at(3, 3);
        sample.position =
            Some(Position { latitude: 91.0, longitude: 0.0, altitude_m: None, accuracy_m: None });
        assert_eq!(
            check.sample(&sample).unwrap_err(),
            "latitude 91 lies outside -90 to 90 degrees (WGS 84); the sample is left out"
        );
    }

    #[test]
    fn a_repeated_and_a_misplaced_sample_are_told_apart() {
        let mut check = Check::default();
        for n in [1, 2, 5] {
            check.sample(&at(n, i64::try_from(n).unwrap())).unwrap();
        }
        assert!(check.sample(&at(2, 2)).unwrap_err().contains("twice"));
        assert!(check.sample(&at(4, 4)).unwrap_err().contains("after sample 5"));
        assert!(check.sample(&at(6, 5)).unwrap_err().contains("same moment"));
        assert_eq!(check.misplaced, 1);
    }

    #[test]
    fn a_pass_whose_clock_was_set_back_goes_on_from_there() {
        let mut check = Check::default();
        check.sample(&at(1, 100)).unwrap();
        let mut second = at(2, 0);
        second.pass = 2;
        let (shift, note) = check.sample(&second).unwrap();
        assert_eq!(shift, TimeDelta::seconds(-101));
        assert!(note.unwrap().contains("of this pass"));
    }

    #[test]
    fn one_wrong_moment_is_left_out_and_a_clock_that_was_set_goes_on() {
        let mut check = Check::default();
        let far = 86_400 * 365 * 54;
        check.sample(&at(1, 1)).unwrap();
        assert!(check.sample(&at(2, far)).unwrap_err().contains("the clock jumps from"));
        assert_eq!(check.sample(&at(3, 3)).unwrap().0, TimeDelta::zero());
        assert!(check.sample(&at(4, far)).is_err());
        assert_eq!(check.sample(&at(5, far + 1)).unwrap().0, TimeDelta::seconds(far + 1 - 3 - 1));
    }
}
