//! All samples of a survey by spot, cell and heading, gathered in one pass.
//!
//! Memory grows with the number of spots, cells and headings, not with the number of samples.
//! Samples without registration, and the changes of cell, are events beside the levels: a median is
//! always of one cell.

use super::file::{FileError, Lines};
use super::reading::is_registered;
use super::sample::{Head, Line, Mark, MarkKind, Sample};
use super::spot::Spot;
use super::trace::Trace;
use crate::statistics::Series;
use chrono::{DateTime, Utc};
use std::collections::{BTreeMap, HashMap};
use std::path::Path;

/// A longer gap between two samples was not watched, s (common practice, no source).
pub const WATCHED_GAP_S: f64 = 30.0;

/// The most events kept; those beyond are counted only.
const MOST_EVENTS: usize = 500;

/// Something that happened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// When.
    pub at: DateTime<Utc>,
    /// Where; empty between spots.
    pub spot: String,
    /// What kind.
    pub kind: EventKind,
    /// In words.
    pub text: String,
}

/// The kinds of event.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum EventKind {
    /// Another cell serves.
    CellChange,
    /// The registration was lost.
    Lost,
    /// The registration came back.
    Back,
    /// The modem did not answer.
    NoAnswer,
    /// A note by the person.
    Note,
}

impl EventKind {
    /// The kind in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::CellChange => "cell change",
            Self::Lost => "registration lost",
            Self::Back => "registered again",
            Self::NoAnswer => "no answer",
            Self::Note => "note",
        }
    }
}

/// A survey, gathered.
#[derive(Clone, Debug, Default)]
pub struct Analysis {
    /// The head of the file.
    pub head: Head,
    /// The spots in the order in which they came.
    pub spots: Vec<Spot>,
    /// The first events.
    pub events: Vec<Event>,
    /// All events, those beyond the kept ones too.
    pub event_count: u64,
    /// Samples.
    pub samples: u64,
    /// Lines that could not be read.
    pub damaged: u64,
    /// How long the levels were watched, s: gaps within a pass that are no longer than
    /// [`WATCHED_GAP_S`], put together.
    pub watched_s: f64,
    /// The time of the first and the last sample.
    pub time: Option<(DateTime<Utc>, DateTime<Utc>)>,
    /// Levels over time, thinned.
    pub trace: Trace,
    /// Levels by spot, cell and heading (tenths of a degree).
    pub turns: BTreeMap<(usize, usize, u16), Series>,
    index: HashMap<String, usize>,
    last_spot: usize,
    last_sample: Option<(DateTime<Utc>, u32)>,
}

impl Analysis {
    /// Reads a survey file from end to end.
    ///
    /// # Errors
    ///
    /// [`FileError`] where the file cannot be opened or is not a survey. Damaged lines are counted.
    pub fn read(path: &Path) -> Result<Self, FileError> {
        let mut lines = Lines::open(path)?;
        let mut analysis = Self { head: lines.head.clone(), ..Self::default() };
        for line in lines.by_ref() {
            match line {
                Ok(Line::Sample(sample)) => analysis.sample(&sample),
                Ok(Line::Mark(mark)) => analysis.mark(&mark),
                // A second head comes from two files put together: the first one counts.
                Ok(Line::Head(_)) => {}
                Err(_) => analysis.damaged += 1,
            }
        }
        Ok(analysis)
    }

    /// Takes one sample.
    pub fn sample(&mut self, sample: &Sample) {
        self.samples += 1;
        let (first, _) = *self.time.get_or_insert((sample.at, sample.at));
        self.time = Some((first.min(sample.at), sample.at));
        let at = (sample.at - first).as_seconds_f64();
        if let Some((before, pass)) = self.last_sample.replace((sample.at, sample.pass)) {
            let gap = (sample.at - before).as_seconds_f64();
            if pass == sample.pass && (0.0..=WATCHED_GAP_S).contains(&gap) {
                self.watched_s += gap;
            }
        }
        let index = self.spot(&sample.spot);
        let spot = &mut self.spots[index];
        spot.samples += 1;
        if spot.passes.last() != Some(&sample.pass) && !spot.passes.contains(&sample.pass) {
            spot.passes.push(sample.pass);
        }
        if let Some(position) = sample.position {
            spot.locate(position);
        }
        spot.hear(sample);
        let mut happened = Vec::new();
        let registered = sample.registration.map(is_registered);
        match (spot.registered, registered) {
            (Some(true) | None, Some(false)) => happened.push((
                EventKind::Lost,
                format!("registration state {}", sample.registration.unwrap_or(0)),
            )),
            (Some(false), Some(true)) => happened.push((EventKind::Back, String::new())),
            _ => {}
        }
        spot.registered = registered.or(spot.registered);
        if spot.registered == Some(false) {
            spot.unregistered += 1;
        } else {
            let cell = spot.cell(&sample.cell);
            if let Some(before) = spot.last_cell.filter(|before| *before != cell) {
                spot.cell_changes += 1;
                happened.push((
                    EventKind::CellChange,
                    format!("{} to {}", spot.cells[before].cell, sample.cell),
                ));
            }
            spot.last_cell = Some(cell);
            spot.cells[cell].push(at, &sample.levels, &sample.branches_dbm);
            if let Some(level) = sample.levels.rsrp_dbm {
                self.trace.push(at, level);
                if let Some(heading) = sample.heading_deg.filter(|h| h.is_finite()) {
                    #[expect(
                        clippy::cast_possible_truncation,
                        clippy::cast_sign_loss,
                        reason = "0 to 3600"
                    )]
                    let tenths = (heading.rem_euclid(360.0) * 10.0).round() as u16 % 3600;
                    self.turns.entry((index, cell, tenths)).or_default().push(at, level);
                }
            }
        }
        for (kind, text) in happened {
            self.event(sample.at, sample.spot.clone(), kind, text);
        }
    }

    /// Takes a mark.
    pub fn mark(&mut self, mark: &Mark) {
        let kind = match mark.kind {
            MarkKind::NoAnswer => EventKind::NoAnswer,
            MarkKind::Note => EventKind::Note,
            MarkKind::PassBegins | MarkKind::PassEnds => {
                // Between passes the antenna or the card may have changed: nothing is compared across.
                for spot in &mut self.spots {
                    (spot.last_cell, spot.registered) = (None, None);
                }
                return;
            }
        };
        let spot = self.spots.get(self.last_spot).map_or_else(String::new, |s| s.name.clone());
        self.event(mark.at, spot, kind, mark.text.clone());
    }

    fn event(&mut self, at: DateTime<Utc>, spot: String, kind: EventKind, text: String) {
        self.event_count += 1;
        if self.events.len() < MOST_EVENTS {
            self.events.push(Event { at, spot, kind, text });
        }
    }

    fn spot(&mut self, name: &str) -> usize {
        if self.spots.get(self.last_spot).is_some_and(|s| s.name == name) {
            return self.last_spot;
        }
        if let Some(&found) = self.index.get(name) {
            // Whoever comes back later finds the cell of the last stay: that is no change under way.
            (self.spots[found].last_cell, self.spots[found].registered) = (None, None);
            self.last_spot = found;
            return found;
        }
        self.spots.push(Spot::new(name));
        self.last_spot = self.spots.len() - 1;
        self.index.insert(name.to_owned(), self.last_spot);
        self.last_spot
    }

    /// The spot of that name.
    pub fn named(&self, name: &str) -> Option<&Spot> {
        self.index.get(name).map(|i| &self.spots[*i])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::reading::Source;
    use crate::survey::simulate::{Pace, Place, Walker};

    fn walk() -> (Place, Analysis) {
        let place = Place::parse(include_str!("../../demo/walk/huts.toml")).unwrap();
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
        assert_eq!(
            (analysis.spots[0].unregistered, analysis.spots[0].cells[0].rsrp.count()),
            (2, 3)
        );
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
}
