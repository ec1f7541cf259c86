//! A simulated place: masts, an antenna, fading, and a person who walks or turns the antenna.
//!
//! The true medians are known (`Place::true_rsrp`), so that what a survey, an alignment or an
//! acceptance run says can be held against them. Distances weaken the level by a power law;
//! the antenna follows the horizontal pattern of TR 36.942 §4.2.1 (clause from memory), 12 (φ/φ₃)² dB
//! up to the front-to-back ratio; shadowing is Gaussian in dB and correlated in time; interference
//! and noise follow from the other masts of the channel.

mod walker;

pub use walker::{Pace, Walker};

use super::sample::Position;
use chrono::{DateTime, Utc};
use serde::Deserialize;

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

#[cfg(test)]
mod tests {
    use super::*;

    const WALK: &str = include_str!("../../../demo/walk/huts.toml");

    #[test]
    fn the_pattern_is_3_db_down_at_half_its_width_and_flat_behind() {
        let antenna = Antenna { gain_dbi: 9.0, beamwidth_deg: 60.0, front_to_back_db: 18.0 };
        assert!(
            (antenna.gain(30.0) - 6.0).abs() < 1e-9 && (antenna.gain(-390.0) - 6.0).abs() < 1e-9
        );
        assert!((antenna.gain(180.0) + 9.0).abs() < 1e-9);
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
