//! A person who walks through a simulated place or turns the antenna there, as a source of readings.

use super::{Place, position};
use crate::random::Random;
use crate::reference::rates;
use crate::survey::reading::{Reading, Source};
use crate::survey::sample::{Cell, Levels, Neighbour, Position, moment};
use chrono::{TimeDelta, Utc};
use std::io;
use std::time::Duration;

/// Whether simulated time waits for the clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pace {
    /// As fast as the program asks.
    AtOnce,
    /// As a modem would answer.
    Live,
}

/// A person in the place, as a source of readings.
#[derive(Debug)]
pub struct Walker {
    place: Place,
    pace: Pace,
    random: Random,
    faded: Vec<f64>,
    serving: Option<usize>,
    elapsed_ms: u64,
    turned: Option<f64>,
    handheld: bool,
}

impl Walker {
    /// At the beginning of the walk or sweep.
    pub fn new(place: Place, pace: Pace) -> Self {
        let mut random = Random::seeded(place.seed);
        let faded = place.mast.iter().map(|_| random.normal()).collect();
        Self {
            place,
            pace,
            random,
            faded,
            serving: None,
            elapsed_ms: 0,
            turned: None,
            handheld: false,
        }
    }

    /// Leaves the turning to `turn_to`: the sweep's own headings are not used and it never ends.
    #[must_use]
    pub fn by_hand(mut self) -> Self {
        self.handheld = true;
        self
    }

    /// Where the person is now; `None` when the walk has ended.
    fn now(&self) -> Option<(String, Position, f64, Option<f64>)> {
        let mut at = self.elapsed_ms as f64 / 1000.0;
        if let Some(sweep) = self.place.sweep {
            if self.handheld {
                return Some((
                    String::new(),
                    position(sweep.at),
                    0.0,
                    Some(self.turned.unwrap_or(sweep.from_deg)),
                ));
            }
            for i in 0..sweep.headings {
                if at < sweep.seconds {
                    let heading =
                        (sweep.from_deg + f64::from(i) * sweep.step_deg).rem_euclid(360.0);
                    return Some((String::new(), position(sweep.at), 0.0, Some(heading)));
                }
                at -= sweep.seconds;
            }
            return None;
        }
        let stops = self.place.stop.iter();
        for stop in stops {
            if at < stop.seconds {
                return Some((
                    stop.spot.clone(),
                    position(stop.at),
                    stop.wall_db,
                    stop.heading_deg.or(self.turned),
                ));
            }
            at -= stop.seconds;
        }
        None
    }

    fn fade(&mut self) {
        let rho =
            (-f64::from(self.place.answer_ms) / 1000.0 / self.place.fading.correlation_s).exp();
        for state in &mut self.faded {
            *state = rho * *state + (1.0 - rho * rho).sqrt() * self.random.normal();
        }
    }

    /// The masts' levels, the serving one by the strongest with 3 dB of hysteresis.
    fn levels(&mut self, here: Position, wall_db: f64, heading: Option<f64>) -> (usize, Vec<f64>) {
        let deviation = self.place.fading.deviation_db;
        let rsrp: Vec<f64> = self
            .place
            .mast
            .iter()
            .zip(&self.faded)
            .map(|(mast, state)| {
                self.place.true_rsrp(mast, here, heading) - wall_db + deviation * state
            })
            .collect();
        let best = (0..rsrp.len()).max_by(|a, b| rsrp[*a].total_cmp(&rsrp[*b])).unwrap_or(0);
        let serving = self.serving.filter(|s| rsrp[best] - rsrp[*s] < 3.0).unwrap_or(best);
        self.serving = Some(serving);
        (serving, rsrp)
    }
}

fn milliwatts(dbm: f64) -> f64 {
    10f64.powf(dbm / 10.0)
}

impl Source for Walker {
    fn read(&mut self) -> io::Result<Option<Reading>> {
        let took = Duration::from_millis(u64::from(self.place.answer_ms));
        if self.pace == Pace::Live {
            std::thread::sleep(took);
        }
        let Some((spot, here, wall_db, heading)) = self.now() else {
            return Ok(None);
        };
        self.fade();
        let (serving, rsrp) = self.levels(here, wall_db, heading);
        self.elapsed_ms += u64::from(self.place.answer_ms);
        let mast = &self.place.mast[serving];
        let same: Vec<usize> =
            (0..rsrp.len()).filter(|i| self.place.mast[*i].channel == mast.channel).collect();
        // A resource block has 12 subcarriers, two of them with reference signals of one port.
        let busy = |i: &usize| (1.0 + 5.0 * self.place.mast[*i].load) / 6.0;
        let noise = milliwatts(self.place.noise_dbm);
        let others: f64 =
            same.iter().filter(|i| **i != serving).map(|i| milliwatts(rsrp[*i]) * busy(i)).sum();
        let all = 12.0 * (milliwatts(rsrp[serving]) * busy(&serving) + others + noise);
        let blocks = rates::resource_blocks(mast.bandwidth_mhz).map_or(50.0, f64::from);
        let levels = Levels {
            rsrp_dbm: Some(rsrp[serving].round().clamp(-140.0, -44.0)),
            rsrq_db: Some(
                (10.0 * (milliwatts(rsrp[serving]) / all).log10()).round().clamp(-34.0, 2.0),
            ),
            sinr_db: Some(
                (rsrp[serving] - 10.0 * (others + noise).log10()).round().clamp(-23.0, 40.0),
            ),
            rssi_dbm: Some((10.0 * (all * blocks).log10()).round()),
            ..Levels::default()
        };
        let mut neighbours: Vec<_> = (0..rsrp.len())
            .filter(|i| *i != serving && rsrp[*i] > -130.0)
            .map(|i| {
                let other = &self.place.mast[i];
                Neighbour {
                    pci: Some(other.pci),
                    channel: Some(other.channel),
                    rsrp_dbm: Some(rsrp[i].round()),
                }
            })
            .collect();
        neighbours.sort_by(|a, b| {
            b.rsrp_dbm.partial_cmp(&a.rsrp_dbm).unwrap_or(std::cmp::Ordering::Equal)
        });
        let at = match self.pace {
            Pace::AtOnce => {
                self.place.begins
                    + TimeDelta::milliseconds(i64::try_from(self.elapsed_ms).unwrap_or(i64::MAX))
            }
            Pace::Live => Utc::now(),
        };
        Ok(Some(Reading {
            at: moment(at),
            took,
            cell: Cell {
                technology: "LTE".to_owned(),
                plmn: mast.plmn.clone(),
                tac_hex: mast.tac_hex.clone(),
                cell_id: Some(mast.cell_id),
                pci: Some(mast.pci),
                channel: Some(mast.channel),
                band: Some(mast.band),
            },
            levels,
            registration: Some(if rsrp[serving] > -128.0 { 1 } else { 2 }),
            neighbours,
            bandwidth_mhz: Some(mast.bandwidth_mhz),
            branches: Vec::new(),
            spot: Some(spot),
            position: Some(here),
            heading_deg: heading,
        }))
    }

    fn turn_to(&mut self, heading_deg: f64) {
        self.turned = Some(heading_deg.rem_euclid(360.0));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WALK: &str = include_str!("../../../demo/walk/huts.toml");

    #[test]
    fn one_seed_gives_one_walk() {
        let all = |pace| {
            let mut walker = Walker::new(Place::parse(WALK).unwrap(), pace);
            std::iter::from_fn(move || walker.read().unwrap()).collect::<Vec<_>>()
        };
        let (first, second) = (all(Pace::AtOnce), all(Pace::AtOnce));
        assert!(first.len() > 500);
        assert_eq!(first, second);
    }
}
