//! All samples of a survey by spot, cell and heading, gathered in one pass.
//!
//! Memory grows with the number of spots, cells and headings, not with the number of samples.
//! Samples without registration, and the changes of cell, are events beside the levels: a median is
//! always of one cell.

use super::file::{FileError, Lines};
use super::limits::{Limit, limit};
use super::reading::is_registered;
use super::sample::{Cell, Head, Levels, Line, Mark, MarkKind, Position, Sample};
use super::statistics::{Series, Spread, spread};
use super::trace::Trace;
use chrono::{DateTime, Utc};
use std::collections::{BTreeMap, HashMap};
use std::path::Path;

/// A longer gap between two samples was not watched, s (common practice, no source).
pub const WATCHED_GAP_S: f64 = 30.0;

/// The most events kept; those beyond are counted only.
const MOST_EVENTS: usize = 500;

/// The quantities of a cell at a spot, each as a series.
#[derive(Clone, Debug, Default)]
pub struct CellSeries {
    /// The cell, as far as the modem told it.
    pub cell: Cell,
    /// Reference signal power (or what stands for it), dBm.
    pub rsrp: Series,
    /// Reference signal quality, dB.
    pub rsrq: Series,
    /// Signal to interference and noise, dB.
    pub sinr: Series,
    /// Received power over the channel, dBm.
    pub rssi: Series,
    /// The receive branches' levels by antenna port, dBm.
    pub branches: Vec<Series>,
}

impl CellSeries {
    fn push(&mut self, at: f64, levels: &Levels, branches: &[Option<f64>]) {
        let note = |series: &mut Series, value: Option<f64>| {
            if let Some(value) = value {
                series.push(at, value);
            }
        };
        note(&mut self.rsrp, levels.rsrp_dbm);
        note(&mut self.rsrq, levels.rsrq_db);
        note(&mut self.sinr, levels.sinr_db);
        note(&mut self.rssi, levels.rssi_dbm);
        if self.branches.len() < branches.len() {
            self.branches.resize_with(branches.len(), Series::new);
        }
        for (series, level) in self.branches.iter_mut().zip(branches) {
            note(series, *level);
        }
    }

    /// What limits the cell here.
    pub fn limit(&self) -> Limit {
        let median =
            |series: &Series| (series.count() > 0).then(|| series.distribution().quantile(0.5));
        limit(median(&self.rsrp), median(&self.rsrq), median(&self.sinr))
    }

    /// The branches that told levels: antenna port, its series.
    pub fn alive(&self) -> Vec<(usize, &Series)> {
        self.branches.iter().enumerate().filter(|(_, s)| s.count() > 0).collect()
    }

    /// The best and the weakest branch: antenna port, median in dBm; `None` with fewer than two.
    pub fn branch_medians(&self) -> Option<[(usize, f64); 2]> {
        let mut medians: Vec<(usize, f64)> =
            self.alive().iter().map(|(port, s)| (*port, s.distribution().quantile(0.5))).collect();
        medians.sort_by(|a, b| b.1.total_cmp(&a.1));
        match medians.as_slice() {
            [best, .., weakest] => Some([*best, *weakest]),
            _ => None,
        }
    }

    /// The figures of the level; `None` where the modem never told one.
    pub fn level(&self) -> Option<Spread> {
        spread(&self.rsrp)
    }
}

/// Other cells heard at a spot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heard {
    /// Physical cell identity.
    pub pci: Option<u32>,
    /// Channel number.
    pub channel: Option<u32>,
    /// How often.
    pub count: u64,
    /// Mean of the levels in dB, dBm; not a number where none was told.
    pub mean_dbm: f64,
    told: u64,
}

/// The most neighbours told apart at a spot.
const MOST_HEARD: usize = 64;

/// One spot.
#[derive(Clone, Debug, Default)]
pub struct Spot {
    /// Its name; empty for samples taken between spots.
    pub name: String,
    /// The cells that served, in the order in which they came.
    pub cells: Vec<CellSeries>,
    /// All samples.
    pub samples: u64,
    /// Samples without registration; they stand in no series.
    pub unregistered: u64,
    /// Passes that came here.
    pub passes: Vec<u32>,
    /// Changes of cell.
    pub cell_changes: u64,
    /// Other cells heard.
    pub heard: Vec<Heard>,
    place: PlaceSum,
    last_cell: Option<usize>,
    registered: Option<bool>,
}

#[derive(Clone, Copy, Debug, Default)]
struct PlaceSum {
    count: f64,
    latitude: f64,
    east: f64,
    north: f64,
    altitude: f64,
    altitudes: f64,
    accuracy: Option<f64>,
}

impl Spot {
    /// The mean position of its samples; the accuracy is the worst that the receiver told.
    pub fn position(&self) -> Option<Position> {
        let p = &self.place;
        (p.count > 0.0).then(|| Position {
            latitude: p.latitude / p.count,
            longitude: p.north.atan2(p.east).to_degrees(),
            altitude_m: (p.altitudes > 0.0).then(|| p.altitude / p.altitudes),
            accuracy_m: p.accuracy,
        })
    }

    /// The cell with the most samples; its figures stand for the spot.
    pub fn main(&self) -> Option<&CellSeries> {
        self.cells.iter().max_by_key(|c| c.rsrp.count())
    }

    fn locate(&mut self, position: Position) {
        let p = &mut self.place;
        p.count += 1.0;
        p.latitude += position.latitude;
        // Longitudes are averaged as directions, so that a walk over the 180th meridian stays there.
        let (north, east) = position.longitude.to_radians().sin_cos();
        p.north += north;
        p.east += east;
        if let Some(metres) = position.altitude_m {
            p.altitude += metres;
            p.altitudes += 1.0;
        }
        p.accuracy = p.accuracy.into_iter().chain(position.accuracy_m).reduce(f64::max);
    }

    fn hear(&mut self, sample: &Sample) {
        for n in &sample.neighbours {
            let found = self.heard.iter().position(|h| h.pci == n.pci && h.channel == n.channel);
            let at = match found {
                Some(at) => at,
                None if self.heard.len() < MOST_HEARD => {
                    self.heard.push(Heard {
                        pci: n.pci,
                        channel: n.channel,
                        count: 0,
                        mean_dbm: f64::NAN,
                        told: 0,
                    });
                    self.heard.len() - 1
                }
                None => continue,
            };
            let heard = &mut self.heard[at];
            heard.count += 1;
            if let Some(level) = n.rsrp_dbm {
                heard.told += 1;
                let before = if heard.told == 1 { 0.0 } else { heard.mean_dbm };
                heard.mean_dbm = before + (level - before) / heard.told as f64;
            }
        }
    }

    /// The index of the sample's cell, a new one where it fits none.
    fn cell(&mut self, cell: &Cell) -> usize {
        if let Some(last) = self.last_cell.filter(|i| self.cells[*i].cell == *cell) {
            return last;
        }
        let fits =
            |c: &CellSeries| c.cell.may_be(cell) && (c.cell.is_unknown() == cell.is_unknown());
        if let Some(last) = self.last_cell.filter(|i| fits(&self.cells[*i])) {
            return last;
        }
        if let Some(found) = self.cells.iter().position(fits) {
            return found;
        }
        self.cells.push(CellSeries { cell: cell.clone(), ..CellSeries::default() });
        self.cells.len() - 1
    }
}

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
        self.spots.push(Spot { name: name.to_owned(), ..Spot::default() });
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
