//! All samples of a survey by spot, cell and heading, gathered in one pass.
//!
//! Memory grows with the number of spots, cells and headings, not with the number of samples.
//! Samples without registration, and the changes of cell, are events beside the levels: a median is
//! always of one cell.

use super::check::Problems;
use super::reading::is_registered;
use super::sample::{Head, Mark, MarkKind, Sample};
use super::spot::Spot;
use super::trace::Trace;
use crate::statistics::Series;
use chrono::{DateTime, TimeDelta, Utc};
use std::collections::{BTreeMap, HashMap};

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
    /// What is wrong with lines of the file, those that could not be read among them.
    pub problems: Problems,
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
    /// Of a survey with this head.
    pub fn new(head: Head) -> Self {
        Self { head, ..Self::default() }
    }

    /// The share of all samples that were registered, percent; `None` where no sample tells.
    pub fn registered_percent(&self) -> Option<f64> {
        let (registered, unregistered) = self
            .spots
            .iter()
            .fold((0, 0), |(r, u), spot| (r + spot.registered, u + spot.unregistered));
        let counted = registered + unregistered;
        (counted > 0).then(|| 100.0 * registered as f64 / counted as f64)
    }

    /// Whether levels that came as an index may lie half a step low, because the file has no indices.
    pub fn may_be_half_a_step_low(&self) -> bool {
        !self.head.with_index && !self.head.rehearsal
    }

    /// Takes one sample.
    pub fn sample(&mut self, sample: &Sample) {
        self.sample_shifted(sample, TimeDelta::zero());
    }

    /// Takes one sample whose clock is `shift` ahead of the first one's.
    pub(super) fn sample_shifted(&mut self, sample: &Sample, shift: TimeDelta) {
        self.samples += 1;
        let moment = sample.at - shift;
        let (first, _) = *self.time.get_or_insert((moment, moment));
        self.time = Some((first.min(moment), moment));
        let at = (moment - first).as_seconds_f64();
        let mut watched_s = 0.0;
        if let Some((before, pass)) = self.last_sample.replace((moment, sample.pass)) {
            let gap = (moment - before).as_seconds_f64();
            if pass == sample.pass && (0.0..=WATCHED_GAP_S).contains(&gap) {
                watched_s = gap;
            }
        }
        self.watched_s += watched_s;
        let before = self.last_spot;
        let index = self.spot(&sample.spot);
        let spot = &mut self.spots[index];
        if index == before {
            spot.watched_s += watched_s;
        }
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
        match (spot.was_registered, registered) {
            (Some(true) | None, Some(false)) => happened.push((
                EventKind::Lost,
                format!("registration state {}", sample.registration.unwrap_or(0)),
            )),
            (Some(false), Some(true)) => happened.push((EventKind::Back, String::new())),
            _ => {}
        }
        spot.was_registered = registered.or(spot.was_registered);
        spot.roaming += u64::from(matches!(sample.registration, Some(5 | 10)));
        spot.last_state = sample.registration.or(spot.last_state);
        match registered {
            Some(true) => spot.registered += 1,
            Some(false) => {}
            // A sample that does not tell goes on from the one before.
            None => spot.registered += u64::from(spot.was_registered == Some(true)),
        }
        if spot.was_registered == Some(false) {
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
            spot.used.push(at, &sample.levels, &sample.branches_dbm);
            if let Some(level) = sample.levels.rsrp_middle_dbm() {
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
            self.event(moment, sample.spot.clone(), kind, text);
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
                    (spot.last_cell, spot.was_registered) = (None, None);
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
            (self.spots[found].last_cell, self.spots[found].was_registered) = (None, None);
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
mod tests;
