//! What bands of every technology have: edges, channel numbers, duplex, direction.

use crate::reference::table::{Place, TableError};
use serde::Deserialize;
use std::fmt;

/// A stretch of spectrum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Edges {
    /// Lower edge in kHz.
    pub low_khz: u32,
    /// Upper edge in kHz.
    pub high_khz: u32,
}

impl Edges {
    /// Whether a frequency lies within, edges included.
    pub const fn contains(self, khz: u32) -> bool {
        khz >= self.low_khz && khz <= self.high_khz
    }

    /// What both share; `None` where they touch at most.
    pub fn shared(self, other: Self) -> Option<Self> {
        let low_khz = self.low_khz.max(other.low_khz);
        let high_khz = self.high_khz.min(other.high_khz);
        (low_khz < high_khz).then_some(Self { low_khz, high_khz })
    }

    /// Whether a channel of this width around a centre lies wholly within.
    pub const fn holds_channel(self, centre_khz: u32, width_khz: u32) -> bool {
        centre_khz * 2 >= self.low_khz * 2 + width_khz
            && centre_khz * 2 + width_khz <= self.high_khz * 2
    }

    /// The width in kHz.
    pub const fn width_khz(self) -> u32 {
        self.high_khz - self.low_khz
    }
}

impl fmt::Display for Edges {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}–{} MHz", mhz(self.low_khz), mhz(self.high_khz))
    }
}

/// A frequency in MHz from kHz.
pub fn mhz(khz: u32) -> f64 {
    f64::from(khz) / 1000.0
}

/// Channel numbers from the first to the last, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Channels {
    /// The lowest number.
    pub first: u32,
    /// The highest number.
    pub last: u32,
}

impl Channels {
    /// Whether a number is among them.
    pub const fn contains(self, number: u32) -> bool {
        number >= self.first && number <= self.last
    }

    /// The number of these that is next to another.
    pub fn nearest(self, number: u32) -> u32 {
        number.clamp(self.first, self.last)
    }
}

/// How a band divides its two directions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum Duplex {
    /// Paired spectrum.
    #[serde(rename = "FDD")]
    Fdd,
    /// One stretch, taken in turns.
    #[serde(rename = "TDD")]
    Tdd,
    /// Downlink only, beside another band.
    #[serde(rename = "SDL")]
    DownlinkOnly,
    /// Uplink only, beside another band (NR).
    #[serde(rename = "SUL")]
    UplinkOnly,
    /// Downlink only, for broadcast.
    #[serde(rename = "SDO")]
    Broadcast,
}

impl Duplex {
    /// The short name in the standards.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Fdd => "FDD",
            Self::Tdd => "TDD",
            Self::DownlinkOnly => "SDL",
            Self::UplinkOnly => "SUL",
            Self::Broadcast => "SDO",
        }
    }

    /// What the short name means.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Fdd => "frequency division: uplink and downlink on a frequency each",
            Self::Tdd => "time division: uplink and downlink take turns on one frequency",
            Self::DownlinkOnly => "supplementary downlink: no uplink, carrier aggregation only",
            Self::UplinkOnly => "supplementary uplink: no downlink",
            Self::Broadcast => "downlink only: broadcast, no uplink",
        }
    }
}

/// The direction of a channel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Link {
    /// From the network to the device.
    Downlink,
    /// From the device to the network.
    Uplink,
    /// Both, in turns.
    Both,
}

impl Link {
    /// The direction in words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Downlink => "downlink",
            Self::Uplink => "uplink",
            Self::Both => "both",
        }
    }
}

/// Two columns as edges: both filled and in order, or both empty.
pub(super) fn edges(
    place: Place<'_>,
    low: Option<u32>,
    high: Option<u32>,
    column: &str,
) -> Result<Option<Edges>, TableError> {
    match (low, high) {
        (None, None) => Ok(None),
        (Some(low_khz), Some(high_khz)) if low_khz < high_khz => {
            Ok(Some(Edges { low_khz, high_khz }))
        }
        _ => Err(place.error(column, "must lie above the lower edge, or both be empty")),
    }
}

/// Two columns as channel numbers: both filled and in order, or both empty.
pub(super) fn channels(
    place: Place<'_>,
    first: Option<u32>,
    last: Option<u32>,
    column: &str,
) -> Result<Option<Channels>, TableError> {
    match (first, last) {
        (None, None) => Ok(None),
        (Some(first), Some(last)) if first <= last => Ok(Some(Channels { first, last })),
        _ => Err(place.error(column, "must not be below the first, or both be empty")),
    }
}
