//! A spot of a survey: its cells, each quantity a series, and what else was heard there.

use super::limits::{Limit, limit};
use super::sample::{Cell, Levels, Position, Sample};
use crate::statistics::{Series, Spread, spread};

/// The quantities of a cell at a spot, each as a series.
#[derive(Clone, Debug, Default)]
pub struct CellSeries {
    /// The cell, as far as the modem reports it.
    pub cell: Cell,
    /// Registered samples, those without a level too.
    pub samples: u64,
    /// Reference signal power (or what stands for it), dBm.
    pub rsrp: Series,
    /// Reference signal quality, dB.
    pub rsrq: Series,
    /// Signal to interference and noise, dB.
    pub sinr: Series,
    /// Received power over the channel, dBm.
    pub rssi: Series,
    /// The receive branches' levels by antenna port, dBm.
    pub receive_branches: Vec<Series>,
}

impl CellSeries {
    pub(super) fn push(&mut self, at: f64, levels: &Levels, branches: &[Option<f64>]) {
        let note = |series: &mut Series, value: Option<f64>| {
            if let Some(value) = value {
                series.push(at, value);
            }
        };
        self.samples += 1;
        note(&mut self.rsrp, levels.rsrp_middle_dbm());
        note(&mut self.rsrq, levels.rsrq_middle_db());
        note(&mut self.sinr, levels.sinr_db);
        note(&mut self.rssi, levels.rssi_dbm);
        if self.receive_branches.len() < branches.len() {
            self.receive_branches.resize_with(branches.len(), Series::new);
        }
        for (series, level) in self.receive_branches.iter_mut().zip(branches) {
            note(series, *level);
        }
    }

    /// What limits the cell here.
    pub fn limit(&self) -> Limit {
        let median =
            |series: &Series| (series.count() > 0).then(|| series.distribution().quantile(0.5));
        limit(median(&self.rsrp), median(&self.rsrq), median(&self.sinr))
    }

    /// The receive branches that have levels: antenna port, its series.
    pub fn receiving(&self) -> Vec<(usize, &Series)> {
        self.receive_branches.iter().enumerate().filter(|(_, s)| s.count() > 0).collect()
    }

    /// The best and the weakest receive branch: antenna port, median in dBm; `None` with fewer than two.
    pub fn receive_branch_medians(&self) -> Option<[(usize, f64); 2]> {
        let mut medians: Vec<(usize, f64)> = self
            .receiving()
            .iter()
            .map(|(port, s)| (*port, s.distribution().quantile(0.5)))
            .collect();
        medians.sort_by(|a, b| b.1.total_cmp(&a.1));
        match medians.as_slice() {
            [best, .., weakest] => Some([*best, *weakest]),
            _ => None,
        }
    }

    /// The figures of the level; `None` where the modem never reported one.
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
    /// Mean of the levels in dB, dBm; not a number where none was reported.
    pub mean_dbm: f64,
    levels: u64,
}

/// The most neighbours distinguished at a spot.
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
    /// Everything that the modem used here while it was registered, whatever the cell.
    pub used: CellSeries,
    /// Samples that say that the modem was registered.
    pub registered: u64,
    /// Of these, roaming.
    pub roaming: u64,
    /// Samples without registration; they stand in no series.
    pub unregistered: u64,
    /// The last registration state (`<stat>`) that was read here.
    pub last_state: Option<u8>,
    /// How long the levels were watched here, s.
    pub watched_s: f64,
    /// Passes that came here.
    pub passes: Vec<u32>,
    /// Changes of cell.
    pub cell_changes: u64,
    /// Other cells heard.
    pub heard: Vec<Heard>,
    place: PlaceSum,
    pub(super) last_cell: Option<usize>,
    pub(super) was_registered: Option<bool>,
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
    /// A spot without samples.
    pub(super) fn new(name: &str) -> Self {
        Self { name: name.to_owned(), ..Self::default() }
    }

    /// The mean position of its samples; the accuracy is the worst that the receiver reported.
    pub fn position(&self) -> Option<Position> {
        let p = &self.place;
        (p.count > 0.0).then(|| Position {
            latitude: p.latitude / p.count,
            longitude: p.north.atan2(p.east).to_degrees(),
            altitude_m: (p.altitudes > 0.0).then(|| p.altitude / p.altitudes),
            accuracy_m: p.accuracy,
        })
    }

    /// The cell with the most samples; of equal ones, the earliest.
    pub fn main(&self) -> Option<&CellSeries> {
        self.cells.iter().rev().max_by_key(|c| c.samples)
    }

    /// The share of the samples that were registered, percent; `None` where no sample tells.
    pub fn registered_percent(&self) -> Option<f64> {
        let counted = self.registered + self.unregistered;
        (counted > 0).then(|| 100.0 * self.registered as f64 / counted as f64)
    }

    /// The network (MCC and MNC) with the most samples; empty where none is known.
    pub fn network(&self) -> &str {
        let mut counts = std::collections::BTreeMap::<&str, u64>::new();
        for cell in self.cells.iter().filter(|c| !c.cell.plmn.is_empty()) {
            *counts.entry(cell.cell.plmn.as_str()).or_default() += cell.samples;
        }
        counts.into_iter().max_by_key(|(_, count)| *count).map_or("", |(plmn, _)| plmn)
    }

    /// Its name for a reader.
    pub fn shown_name(&self) -> &str {
        if self.name.is_empty() { "(between spots)" } else { &self.name }
    }

    pub(super) fn locate(&mut self, position: Position) {
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

    pub(super) fn hear(&mut self, sample: &Sample) {
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
                        levels: 0,
                    });
                    self.heard.len() - 1
                }
                None => continue,
            };
            let heard = &mut self.heard[at];
            heard.count += 1;
            if let Some(level) = n.rsrp_dbm {
                heard.levels += 1;
                let before = if heard.levels == 1 { 0.0 } else { heard.mean_dbm };
                heard.mean_dbm = before + (level - before) / heard.levels as f64;
            }
        }
    }

    /// The index of the sample's cell, a new one where it fits none.
    pub(super) fn cell(&mut self, cell: &Cell) -> usize {
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
