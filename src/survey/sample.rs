//! What stands in a line of a survey file: the head, a sample, or a mark.

pub use super::head::{FORMAT, Head, SiteHead, VisitHead};
use super::reading::Reading;
use crate::case::Rat;
use chrono::{DateTime, SubsecRound, Utc};
use serde::{Deserialize, Serialize};
use std::fmt;

/// One line of a survey file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Line {
    /// The first line.
    Head(Head),
    /// One reading of the modem.
    Sample(Sample),
    /// Something that happened, noted by a person or by the recording program.
    Mark(Mark),
    /// An event in the log of a watch, which a survey passes over.
    #[serde(skip_serializing)]
    Event(serde::de::IgnoredAny),
}

/// A moment with words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Mark {
    /// When.
    pub at: DateTime<Utc>,
    /// What.
    pub kind: MarkKind,
    /// The person's words, or what the program has to add.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub text: String,
}

/// The kinds of mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MarkKind {
    /// A pass begins; the text is its number.
    PassBegins,
    /// A pass ends as the person wanted.
    PassEnds,
    /// The modem did not answer.
    NoAnswer,
    /// A note by the person.
    Note,
}

/// Metres of accuracy that one unit of HDOP is taken for (common practice, no source).
pub(super) const METRES_A_HDOP: f64 = 5.0;

/// Where a sample was taken.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Position {
    /// Latitude, WGS 84, degrees north.
    pub latitude: f64,
    /// Longitude, WGS 84, degrees east.
    pub longitude: f64,
    /// Height above mean sea level, metres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub altitude_m: Option<f64>,
    /// Horizontal accuracy, metres, as far as the receiver tells it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub accuracy_m: Option<f64>,
}

impl Position {
    /// The distance to another position in metres, along a sphere of the Earth's mean radius (IUGG: 6371.0088 km).
    pub fn metres_to(self, other: Self) -> f64 {
        let (lat_a, lat_b) = (self.latitude.to_radians(), other.latitude.to_radians());
        let d_lat = (lat_b - lat_a) / 2.0;
        let d_lon = (other.longitude - self.longitude).to_radians() / 2.0;
        let h = d_lat.sin().powi(2) + lat_a.cos() * lat_b.cos() * d_lon.sin().powi(2);
        2.0 * 6_371_008.8 * h.clamp(0.0, 1.0).sqrt().asin()
    }

    /// The direction to another position in degrees from true north, clockwise, 0 to 360.
    pub fn bearing_to(self, other: Self) -> f64 {
        let (lat_a, lat_b) = (self.latitude.to_radians(), other.latitude.to_radians());
        let d_lon = (other.longitude - self.longitude).to_radians();
        let y = d_lon.sin() * lat_b.cos();
        let x = lat_a.cos() * lat_b.sin() - lat_a.sin() * lat_b.cos() * d_lon.cos();
        y.atan2(x).to_degrees().rem_euclid(360.0)
    }
}

/// The cell that served; parts that the modem did not tell are left out.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Cell {
    /// The technology, by its name in the trade.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub technology: String,
    /// Network code, MCC and MNC.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub plmn: String,
    /// Tracking or location area code, hexadecimal digits.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub tac_hex: String,
    /// Cell identity.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cell_id: Option<u64>,
    /// Physical cell identity, or scrambling code.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pci: Option<u32>,
    /// Downlink channel number of the technology.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub channel: Option<u32>,
    /// Operating band.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub band: Option<u32>,
}

impl Cell {
    /// Whether nothing is known of it.
    pub fn is_unknown(&self) -> bool {
        self.cell_id.is_none() && self.pci.is_none() && self.channel.is_none()
    }

    /// Whether both are one cell, as far as both tell; what only one tells is no contradiction.
    pub fn may_be(&self, other: &Self) -> bool {
        fn fits<T: PartialEq>(a: Option<&T>, b: Option<&T>) -> bool {
            a.zip(b).is_none_or(|(a, b)| a == b)
        }
        fits(self.cell_id.as_ref(), other.cell_id.as_ref())
            && fits(self.pci.as_ref(), other.pci.as_ref())
            && fits(self.channel.as_ref(), other.channel.as_ref())
            && (self.plmn.is_empty() || other.plmn.is_empty() || self.plmn == other.plmn)
    }

    /// The technology as a name of the trade.
    pub fn of_technology(rat: Rat) -> String {
        rat.name().to_owned()
    }
}

impl fmt::Display for Cell {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut parts = Vec::new();
        if let Some(band) = self.band {
            parts.push(format!("band {band}"));
        }
        if let Some(channel) = self.channel {
            parts.push(format!("channel {channel}"));
        }
        match (self.cell_id, self.pci) {
            (Some(id), Some(pci)) => parts.push(format!("cell {id} (PCI {pci})")),
            (Some(id), None) => parts.push(format!("cell {id}")),
            (None, Some(pci)) => parts.push(format!("PCI {pci}")),
            (None, None) => {}
        }
        if parts.is_empty() {
            f.write_str("cell not known")
        } else {
            f.write_str(&parts.join(", "))
        }
    }
}

/// A cell that the modem hears beside the serving one.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Neighbour {
    /// Physical cell identity.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pci: Option<u32>,
    /// Channel number.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub channel: Option<u32>,
    /// Its reference signal power, dBm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rsrp_dbm: Option<f64>,
}

/// The levels of one reading.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Levels {
    /// Reference signal received power, dBm; RSCP on UMTS, RXLEV on GSM.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rsrp_dbm: Option<f64>,
    /// Reference signal received quality, dB; Ec/N0 on UMTS.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rsrq_db: Option<f64>,
    /// Signal to interference and noise, dB.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sinr_db: Option<f64>,
    /// Received power over the whole channel, dBm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rssi_dbm: Option<f64>,
    /// The index that the level came as; the level is then the lower edge of its step of 1 dB.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rsrp_index: Option<u8>,
    /// The index that the quality came as; the quality is then the lower edge of its step of 0.5 dB.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rsrq_index: Option<u8>,
}

impl Levels {
    /// The level for statistics, dBm: the middle of the step where it came as an index.
    ///
    /// The lowest and the highest step are open to one side; their edge is all that is known.
    pub fn rsrp_middle_dbm(&self) -> Option<f64> {
        self.rsrp_dbm.map(|level| level + half_step(self.rsrp_index, 1.0))
    }

    /// The quality for statistics, dB: the middle of the step where it came as an index.
    pub fn rsrq_middle_db(&self) -> Option<f64> {
        self.rsrq_db.map(|level| level + half_step(self.rsrq_index, 0.5))
    }
}

/// Half a step, where an index that is not the lowest says that the value is a lower edge.
fn half_step(index: Option<u8>, step_db: f64) -> f64 {
    if index.is_some_and(|i| i > 0) { step_db / 2.0 } else { 0.0 }
}

/// One reading of the modem with its moment and place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sample {
    /// The running number in the file, from 1.
    pub number: u64,
    /// When the modem answered.
    pub at: DateTime<Utc>,
    /// The spot, named by hand or placed by position; empty between spots.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub spot: String,
    /// The pass, from 1.
    pub pass: u32,
    /// Where.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub position: Option<Position>,
    /// Where the antenna looked, degrees from north, clockwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heading_deg: Option<f64>,
    /// The cell that served.
    #[serde(default)]
    pub cell: Cell,
    /// Its levels.
    pub levels: Levels,
    /// The `<stat>` of the registration that carries data.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub registration: Option<u8>,
    /// Other cells heard.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub neighbours: Vec<Neighbour>,
    /// The receive branches' levels, dBm, by antenna port; none where the modem tells none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub branches_dbm: Vec<Option<f64>>,
    /// Width of the channel, MHz.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bandwidth_mhz: Option<f64>,
    /// How long the modem needed for its answers, milliseconds.
    #[serde(default)]
    pub took_ms: u32,
}

impl Sample {
    /// From a reading; `position` goes before the one that the source itself tells.
    pub fn of(reading: Reading, number: u64, pass: u32, position: Option<Position>) -> Self {
        Self {
            number,
            at: moment(reading.at),
            spot: reading.spot.unwrap_or_default(),
            pass,
            position: position.or(reading.position),
            heading_deg: reading.heading_deg,
            cell: reading.cell,
            levels: reading.levels,
            registration: reading.registration,
            neighbours: reading.neighbours,
            branches_dbm: reading.branches,
            bandwidth_mhz: reading.bandwidth_mhz,
            took_ms: u32::try_from(reading.took.as_millis()).unwrap_or(u32::MAX),
        }
    }
}

/// A moment as it is written: UTC, to the millisecond.
pub fn moment(at: DateTime<Utc>) -> DateTime<Utc> {
    at.trunc_subsecs(3)
}

/// A sample for tests: level -98 dBm, PCI 12, registered at home.
#[cfg(test)]
pub(crate) fn tests_sample(number: u64) -> Sample {
    Sample {
        number,
        at: DateTime::from_timestamp_millis(1_790_000_000_123).unwrap_or_default(),
        spot: "hut \"door\"\n".to_owned(),
        pass: 1,
        position: None,
        heading_deg: None,
        cell: Cell { pci: Some(12), ..Cell::default() },
        levels: Levels { rsrp_dbm: Some(-98.0), ..Levels::default() },
        registration: Some(1),
        neighbours: vec![],
        branches_dbm: vec![],
        bandwidth_mhz: None,
        took_ms: 40,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn at(latitude: f64, longitude: f64) -> Position {
        Position { latitude, longitude, altitude_m: None, accuracy_m: None }
    }

    #[test]
    fn a_degree_of_latitude_is_a_sixtieth_of_sixty_nautical_miles() {
        // One minute of latitude is about a nautical mile, 1852 m.
        let metres = at(0.0, 10.0).metres_to(at(1.0, 10.0));
        assert!((metres / 60.0 - 1852.0).abs() < 2.0, "{metres}");
    }

    #[test]
    fn bearings_run_clockwise_from_north() {
        let here = at(50.0, 8.0);
        for (there, bearing) in [
            (at(51.0, 8.0), 0.0),
            (at(49.0, 8.0), 180.0),
            (at(50.0, 8.001), 90.0),
            (at(50.0, 7.999), 270.0),
        ] {
            assert!((here.bearing_to(there) - bearing).abs() < 0.01);
        }
    }

    #[test]
    fn cells_that_contradict_each_other_in_one_part_are_two() {
        let known = Cell { pci: Some(12), channel: Some(6300), ..Cell::default() };
        let more = Cell { cell_id: Some(77), ..known.clone() };
        assert!(known.may_be(&more));
        assert!(!known.may_be(&Cell { pci: Some(13), ..more }));
    }
}
