//! The lines of a log in order: time that was well, out, or not known, by day; and the outages.

use crate::statistics::Series;
use crate::survey::sample::Sample;
use crate::survey::trace::Trace;
use crate::watch::entry::{Entry, Head};
use crate::watch::event::{Event, Kind};
use crate::watch::trouble::Trouble;
use chrono::{DateTime, NaiveDate, Utc};
use std::collections::{BTreeMap, VecDeque};
use std::path::{Path, PathBuf};
use strum::IntoEnumIterator;

/// The levels of so many seconds before an outage are told.
pub(super) const BEFORE_S: f64 = 600.0;
/// Between two lines no more time goes by, s, beside two intervals: the modem is waited for, and then examined.
const LONGEST_WAIT_S: f64 = 600.0;
/// A longer time between two lines, s, is that of a clock that was not set: none of its days is listed.
const LONGEST_GAP_S: f64 = 400.0 * 86_400.0;
/// So many outages are kept with their particulars.
const MOST_OUTAGES: usize = 10_000;

/// The time of one day, seconds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Day {
    /// The modem was registered and nothing else was wrong.
    pub well_s: f64,
    /// There was an outage.
    pub out_s: f64,
    /// Nothing is known.
    pub unknown_s: f64,
    /// Outages that began.
    pub outages: u64,
}

impl Day {
    /// The share of the known time that was well, percent.
    pub fn available_percent(&self) -> Option<f64> {
        let known = self.well_s + self.out_s;
        (known > 0.0).then(|| 100.0 * self.well_s / known)
    }
}

/// One outage.
#[derive(Clone, Debug, PartialEq)]
pub struct Outage {
    /// When it was first seen.
    pub began: DateTime<Utc>,
    /// How long it lasted as far as it was seen, s.
    pub lasted_s: f64,
    /// How much earlier it may have begun, s; `None` where the watch began in it.
    pub earlier_s: Option<f64>,
    /// Whether its end was seen.
    pub is_over: bool,
    /// The finding of the last examination; empty without one.
    pub finding: String,
    /// The network's cause.
    pub cause: String,
    /// What was found, in a sentence.
    pub summary: String,
    /// The trouble that it began with.
    pub trouble: Trouble,
    /// The dialogue of the last examination.
    pub capture: String,
    /// The median level of the ten minutes before it, dBm.
    pub level_before_dbm: Option<f64>,
}

impl Outage {
    /// What it is counted under.
    pub fn counts_as(&self) -> String {
        if !matches!(&*self.finding, "" | "connected" | "unclear") {
            return self.finding.clone();
        }
        let trouble = self.trouble.begins().words();
        if self.cause.is_empty() {
            trouble.to_owned()
        } else {
            format!("{trouble}, {}", self.cause)
        }
    }
}

/// What a log says of its site.
#[derive(Clone, Debug)]
pub struct Site {
    /// The log.
    pub path: PathBuf,
    /// Its name: as the log says, else the folder's or the file's.
    pub name: String,
    /// The interval of the readings, s.
    pub every_s: f64,
    /// The first and the last line with a time.
    pub time: Option<(DateTime<Utc>, DateTime<Utc>)>,
    /// By day, UTC.
    pub days: BTreeMap<NaiveDate, Day>,
    /// The outages in order, at most ten thousand.
    pub outages: Vec<Outage>,
    /// How often each kind of event came.
    pub events: BTreeMap<Kind, u64>,
    /// Readings.
    pub samples: u64,
    /// Lines that could not be read.
    pub damaged: u64,
    /// Levels of the time that was well.
    pub levels: Series,
    /// Levels over time.
    pub trace: Trace,
    last: Option<DateTime<Utc>>,
    known: bool,
    open: Vec<Trouble>,
    present: Option<Outage>,
    recent: VecDeque<(DateTime<Utc>, f64)>,
}

impl Site {
    /// Nothing is known yet.
    pub(super) fn new(path: &Path, head: &Head) -> Self {
        let named = &head.survey.site.name;
        let folder = path.parent().and_then(Path::file_name).unwrap_or_default();
        let name = if !named.is_empty() {
            named.clone()
        } else if folder.is_empty() {
            path.file_stem().unwrap_or_default().to_string_lossy().into_owned()
        } else {
            folder.to_string_lossy().into_owned()
        };
        Self {
            path: path.to_owned(),
            name,
            every_s: head.watch.every_s,
            time: None,
            days: BTreeMap::new(),
            outages: Vec::new(),
            events: BTreeMap::new(),
            samples: 0,
            damaged: 0,
            levels: Series::new(),
            trace: Trace::default(),
            last: None,
            known: false,
            open: Vec::new(),
            present: None,
            recent: VecDeque::new(),
        }
    }

    /// Takes the next line.
    pub(super) fn take(&mut self, entry: &Entry) {
        match entry {
            Entry::Head(_) => {}
            Entry::Sample(sample) => self.sample(sample),
            Entry::Event(event) => self.event(event),
        }
    }

    /// The log is at its end.
    pub(super) fn finish(&mut self) {
        self.close(false);
    }

    fn sample(&mut self, sample: &Sample) {
        self.pass(sample.at, 0.0);
        self.known = true;
        self.samples += 1;
        let Some(level) = sample.levels.rsrp_middle_dbm() else { return };
        let Some((first, _)) = self.time else { return };
        let at = (sample.at - first).as_seconds_f64();
        self.trace.push(at, level);
        if self.open.is_empty() {
            self.levels.push(at, level);
            self.recent.push_back((sample.at, level));
            let old = |then: DateTime<Utc>| (sample.at - then).as_seconds_f64() > BEFORE_S;
            while self.recent.front().is_some_and(|(then, _)| old(*then)) {
                self.recent.pop_front();
            }
        }
    }

    fn event(&mut self, event: &Event) {
        let step = if event.kind == Kind::ClockStep { event.seconds.unwrap_or(0.0) } else { 0.0 };
        if event.kind == Kind::Started {
            self.known = false;
        }
        self.pass(event.at, step);
        *self.events.entry(event.kind).or_default() += 1;
        match event.kind {
            Kind::Started | Kind::Stopped => {
                self.close(false);
                self.open.clear();
                self.known = false;
            }
            Kind::PortBusy => self.known = false,
            Kind::Explained => self.explained(event),
            Kind::Note if !event.cause.is_empty() => {
                if let Some(present) = &mut self.present {
                    present.cause.clone_from(&event.cause);
                }
            }
            _ => {}
        }
        for trouble in Trouble::iter() {
            if event.kind == trouble.begins() {
                self.begins(trouble, event);
            } else if event.kind == trouble.ends() {
                self.ends(trouble, event);
            }
        }
    }

    fn begins(&mut self, trouble: Trouble, event: &Event) {
        self.known = true;
        if !self.open.contains(&trouble) {
            self.open.push(trouble);
        }
        if self.present.is_some() {
            return;
        }
        self.days.entry(event.at.date_naive()).or_default().outages += 1;
        let mut levels: Vec<f64> = self.recent.drain(..).map(|(_, level)| level).collect();
        levels.sort_by(f64::total_cmp);
        self.present = Some(Outage {
            began: event.at,
            lasted_s: 0.0,
            earlier_s: None,
            is_over: false,
            finding: String::new(),
            cause: event.cause.clone(),
            summary: event.text.clone(),
            trouble,
            capture: String::new(),
            level_before_dbm: (!levels.is_empty()).then(|| levels[levels.len() / 2]),
        });
    }

    fn ends(&mut self, trouble: Trouble, event: &Event) {
        self.open.retain(|t| *t != trouble);
        let Some(present) = &mut self.present else { return };
        if trouble == present.trouble {
            let lasted = event.duration_s.unwrap_or(0.0);
            present.earlier_s = event.at_most_s.map(|most| (most - lasted).max(0.0));
        }
        if !event.cause.is_empty() {
            present.cause.clone_from(&event.cause);
        }
        if self.open.is_empty() {
            self.close(true);
        }
    }

    fn explained(&mut self, event: &Event) {
        if let Some(present) = &mut self.present {
            // A look at an outage that is over by then says nothing of its cause.
            if event.finding != "connected" || present.finding.is_empty() {
                present.finding.clone_from(&event.finding);
                if event.finding != "connected" {
                    present.summary.clone_from(&event.text);
                }
            }
            present.capture.clone_from(&event.capture);
        }
    }

    fn close(&mut self, is_over: bool) {
        if let Some(mut present) = self.present.take() {
            present.is_over = is_over;
            if self.outages.len() < MOST_OUTAGES {
                self.outages.push(present);
            }
        }
    }

    /// The time from the last line to this one, of which the clock skipped `step` seconds.
    fn pass(&mut self, to: DateTime<Utc>, step: f64) {
        let from = self.last.replace(to).unwrap_or(to);
        self.time = Some((self.time.map_or(to, |(first, _)| first.min(to)), to));
        let seconds = ((to - from).as_seconds_f64() - step).max(0.0);
        let sure = self.known && seconds <= LONGEST_WAIT_S + 2.0 * self.every_s;
        let out = !self.open.is_empty();
        if sure
            && out
            && let Some(present) = &mut self.present
        {
            present.lasted_s += seconds;
        }
        let (mut at, mut left) = (from, seconds);
        while left > 0.0 && seconds <= LONGEST_GAP_S {
            let Some(tomorrow) = at.date_naive().succ_opt() else { break };
            let midnight = tomorrow.and_time(chrono::NaiveTime::MIN).and_utc();
            let part = left.min((midnight - at).as_seconds_f64());
            let day = self.days.entry(at.date_naive()).or_default();
            match (sure, out) {
                (false, _) => day.unknown_s += part,
                (true, true) => day.out_s += part,
                (true, false) => day.well_s += part,
            }
            left -= part;
            at = midnight;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clock_that_was_set_late_lists_no_days_in_between() {
        let mut site = Site::new(Path::new("watch.jsonl"), &Head::of("weir", 30.0, None, false));
        for at in ["1970-01-01T00:00:30Z", "2026-05-04T23:59:00Z", "2026-05-05T00:01:00Z"] {
            site.pass(at.parse().unwrap(), 0.0);
        }
        let days: Vec<_> =
            site.days.iter().map(|(day, d)| (day.to_string(), d.unknown_s)).collect();
        assert_eq!(days, [("2026-05-04".into(), 60.0), ("2026-05-05".into(), 60.0)]);
    }
}
