//! A simulated place: masts, an antenna, fading, and a person who walks or turns the antenna.
//!
//! The true medians are known (`Place::true_rsrp`), so that what a survey, an alignment or an
//! acceptance run says can be held against them. Distances weaken the level by a power law;
//! the antenna follows the horizontal pattern of TR 36.942 §4.2.1 (clause from memory), 12 (φ/φ₃)² dB
//! up to the front-to-back ratio; shadowing is Gaussian in dB and correlated in time; interference
//! and noise follow from the other masts of the channel.

use super::reading::{Reading, Source};
use super::sample::{Cell, Levels, Neighbour, Position, moment};
use crate::reference::rates;
use chrono::{DateTime, TimeDelta, Utc};
use serde::Deserialize;
use std::io;
use std::time::Duration;

/// A seeded source of chance (SplitMix64), the same on every machine.
#[derive(Clone, Debug)]
pub struct Dice {
    state: u64,
    spare: Option<f64>,
}

impl Dice {
    /// Always the same throws for the same seed.
    pub fn seeded(seed: u64) -> Self {
        Self {
            state: seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5851_f42d_4c95_7f2d,
            spare: None,
        }
    }

    /// A whole number of 64 even bits.
    pub fn throw(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.state ^ (self.state >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Even between 0 and 1, 1 left out.
    pub fn uniform(&mut self) -> f64 {
        (self.throw() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Gaussian with mean 0 and deviation 1 (Box and Muller).
    pub fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        let radius = (-2.0 * (1.0 - self.uniform()).ln()).sqrt();
        let angle = std::f64::consts::TAU * self.uniform();
        self.spare = Some(radius * angle.sin());
        radius * angle.cos()
    }
}

/// What a scenario file describes.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// What it shows.
    pub title: String,
    /// The seed of all chance.
    pub seed: u64,
    /// When it begins.
    pub begins: DateTime<Utc>,
    /// How long the modem needs for one round of answers, milliseconds.
    pub answer_ms: u32,
    /// Thermal and receiver noise in one subcarrier, dBm.
    pub noise_dbm: f64,
    /// Slow fading.
    pub fading: Fading,
    /// The antenna; without one, it hears all around alike.
    pub antenna: Option<Antenna>,
    /// The masts.
    pub mast: Vec<Mast>,
    /// Where the person stands, one after the other.
    #[serde(default)]
    pub stop: Vec<Stop>,
    /// How the person turns the antenna.
    pub sweep: Option<Sweep>,
}

/// Slow fading, each mast on its own.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fading {
    /// Standard deviation, dB.
    pub deviation_db: f64,
    /// The time after which the correlation has fallen to 1/e, seconds.
    pub correlation_s: f64,
}

/// A directional antenna.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Antenna {
    /// Gain over an isotropic antenna in its main direction, dB.
    pub gain_dbi: f64,
    /// Full width where the gain has fallen by 3 dB, degrees.
    pub beamwidth_deg: f64,
    /// How much weaker it hears behind, dB.
    pub front_to_back_db: f64,
}

impl Antenna {
    /// Gain for a direction `off_deg` degrees from the main one, dB.
    pub fn gain(self, off_deg: f64) -> f64 {
        self.gain_dbi - pattern_loss(off_deg, self.beamwidth_deg, self.front_to_back_db)
    }
}

/// How much weaker than ahead an antenna hears `off_deg` degrees to the side, dB (TR 36.942 §4.2.1, clause from memory).
pub fn pattern_loss(off_deg: f64, beamwidth_deg: f64, front_to_back_db: f64) -> f64 {
    let off = (off_deg + 180.0).rem_euclid(360.0) - 180.0;
    (12.0 * (off / beamwidth_deg).powi(2)).min(front_to_back_db)
}

/// A cell and where it sends from.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mast {
    /// Latitude and longitude.
    pub at: [f64; 2],
    /// Network code.
    pub plmn: String,
    /// Tracking area code.
    pub tac_hex: String,
    /// Cell identity.
    pub cell_id: u64,
    /// Physical cell identity.
    pub pci: u32,
    /// E-UTRA channel number.
    pub channel: u32,
    /// E-UTRA band.
    pub band: u32,
    /// Channel width, MHz.
    pub bandwidth_mhz: f64,
    /// Reference signal power that an isotropic antenna receives at 100 m, dBm.
    pub rsrp_at_100m_dbm: f64,
    /// The exponent of the power law over distance.
    pub exponent: f64,
    /// How busy the cell is, 0 to 1.
    pub load: f64,
}

/// A spot where the person stands.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stop {
    /// Its name.
    pub spot: String,
    /// Latitude and longitude.
    pub at: [f64; 2],
    /// For how long, seconds.
    pub seconds: f64,
    /// What walls take away, dB.
    #[serde(default)]
    pub wall_db: f64,
    /// Where the antenna looks, degrees.
    pub heading_deg: Option<f64>,
}

/// An antenna turned step by step at one place.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sweep {
    /// Latitude and longitude.
    pub at: [f64; 2],
    /// The first heading, degrees.
    pub from_deg: f64,
    /// From one heading to the next, degrees.
    pub step_deg: f64,
    /// How many headings.
    pub headings: u32,
    /// For how long at each, seconds.
    pub seconds: f64,
}

/// Why a scenario cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum PlaceError {
    /// It is no TOML of this form.
    #[error("the scenario cannot be read: {0}")]
    Form(#[from] toml::de::Error),
    /// A value cannot be.
    #[error("the scenario's {what} {why}")]
    Value {
        /// Which value.
        what: &'static str,
        /// What is wrong with it.
        why: &'static str,
    },
}

impl Place {
    /// Reads a scenario.
    ///
    /// # Errors
    ///
    /// [`PlaceError`] says what is wrong and, for the form, in which line.
    pub fn parse(text: &str) -> Result<Self, PlaceError> {
        let place: Self = toml::from_str(text)?;
        let wrong = |what, why| Err(PlaceError::Value { what, why });
        let on_earth = |at: &[f64; 2]| at[0].abs() <= 90.0 && at[1].abs() <= 180.0;
        if place.mast.is_empty() {
            return wrong("mast", "is missing: at least one is needed");
        }
        if !place.mast.iter().all(|m| on_earth(&m.at))
            || !place.stop.iter().all(|s| on_earth(&s.at))
        {
            return wrong("place", "is outside latitude ±90, longitude ±180");
        }
        if place.answer_ms == 0 {
            return wrong("answer_ms", "must be at least 1");
        }
        if !(place.fading.correlation_s > 0.0 && place.fading.deviation_db >= 0.0) {
            return wrong(
                "fading",
                "needs a correlation above 0 s and a deviation of 0 dB or more",
            );
        }
        if !place.mast.iter().all(|m| (0.0..=1.0).contains(&m.load)) {
            return wrong("load", "must lie between 0 and 1");
        }
        if place.antenna.is_some_and(|a| !(a.beamwidth_deg > 0.0 && a.front_to_back_db >= 0.0)) {
            return wrong(
                "antenna",
                "needs a beam wider than 0° and a front-to-back ratio of 0 dB or more",
            );
        }
        if place.stop.is_empty() && place.sweep.is_none() {
            return wrong("stop", "is missing: at least one, or a sweep, is needed");
        }
        Ok(place)
    }

    /// The true median RSRP of a mast at a place, dBm, fading left out.
    pub fn true_rsrp(&self, mast: &Mast, here: Position, heading_deg: Option<f64>) -> f64 {
        let there = position(mast.at);
        let metres = here.metres_to(there).max(10.0);
        let gain = self.antenna.map_or(0.0, |a| {
            heading_deg.map_or(a.gain_dbi, |h| a.gain(here.bearing_to(there) - h))
        });
        mast.rsrp_at_100m_dbm - 10.0 * mast.exponent * (metres / 100.0).log10() + gain
    }
}

fn position(at: [f64; 2]) -> Position {
    Position { latitude: at[0], longitude: at[1], altitude_m: None, accuracy_m: Some(3.0) }
}

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
    dice: Dice,
    faded: Vec<f64>,
    serving: Option<usize>,
    elapsed_ms: u64,
    turned: Option<f64>,
    handheld: bool,
}

impl Walker {
    /// At the beginning of the walk or sweep.
    pub fn new(place: Place, pace: Pace) -> Self {
        let mut dice = Dice::seeded(place.seed);
        let faded = place.mast.iter().map(|_| dice.normal()).collect();
        Self {
            place,
            pace,
            dice,
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
            *state = rho * *state + (1.0 - rho * rho).sqrt() * self.dice.normal();
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

    const WALK: &str = include_str!("../../demo/walk/huts.toml");

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

    #[test]
    fn the_pattern_is_3_db_down_at_half_its_width_and_flat_behind() {
        let antenna = Antenna { gain_dbi: 9.0, beamwidth_deg: 60.0, front_to_back_db: 18.0 };
        assert!(
            (antenna.gain(30.0) - 6.0).abs() < 1e-9 && (antenna.gain(-390.0) - 6.0).abs() < 1e-9
        );
        assert!((antenna.gain(180.0) + 9.0).abs() < 1e-9);
    }

    #[test]
    fn throws_are_even_and_gaussian() {
        let mut dice = Dice::seeded(1);
        let n = 20_000;
        let (mut sum, mut square) = (0.0, 0.0);
        for _ in 0..n {
            let x = dice.normal();
            sum += x;
            square += x * x;
        }
        assert!((sum / f64::from(n)).abs() < 0.03 && (square / f64::from(n) - 1.0).abs() < 0.05);
    }

    #[test]
    fn a_scenario_that_cannot_be_says_why() {
        let text = WALK.replacen("answer_ms = ", "answer_ms = 0 # ", 1);
        assert_eq!(
            Place::parse(&text).unwrap_err().to_string(),
            "the scenario's answer_ms must be at least 1"
        );
        assert!(Place::parse("title = 3").unwrap_err().to_string().contains("line 1"));
    }
}
