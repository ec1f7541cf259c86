//! UTRA FDD operating bands and UARFCN (TS 25.101 §5.2, §5.4).
//!
//! `F = F_Offset + N / 5` MHz for either link. Some bands have additional channels between those,
//! with an offset of their own (table 5.1A). Bands share numbers, and some numbers are both an
//! uplink and a downlink.

use super::spectrum::{Channels, Edges, Link, channels, edges};
use crate::reference::table::{File, Place, Sheet, Source, Standing, TableError, filled};
use serde::Deserialize;
use std::sync::LazyLock;

/// A UTRA FDD operating band.
#[derive(Clone, Debug)]
pub struct UtraBand {
    /// The band number.
    pub number: u16,
    /// The band number as the standard writes it.
    pub roman: &'static str,
    /// The uplink; `None` for a band of downlinks only.
    pub uplink: Option<Direction>,
    /// The downlink.
    pub downlink: Direction,
    /// Where the row comes from.
    pub source: Source,
}

/// One direction of a band.
#[derive(Clone, Debug)]
pub struct Direction {
    /// The spectrum.
    pub edges: Edges,
    /// The general UARFCN, each 200 kHz from the next.
    pub channels: Channels,
    offset_khz: i64,
    /// The additional UARFCN, off the general raster.
    pub additional: Vec<u32>,
    additional_offset_khz: i64,
}

/// One UARFCN in a band.
#[derive(Clone, Copy, Debug)]
pub struct UtraChannel {
    /// The band.
    pub band: &'static UtraBand,
    /// The direction that the number names in this band.
    pub link: Link,
    /// Downlink UARFCN and centre in kHz, where the pair lies in the band.
    pub downlink: Option<(u32, u32)>,
    /// Uplink UARFCN and centre in kHz, where the pair lies in the band.
    pub uplink: Option<(u32, u32)>,
}

const RASTER_KHZ: i64 = 200;

impl Direction {
    /// The centre of a UARFCN in kHz; `None` where the direction does not have it.
    pub fn khz(&self, uarfcn: u32) -> Option<u32> {
        let offset_khz = if self.channels.contains(uarfcn) {
            self.offset_khz
        } else if self.additional.contains(&uarfcn) {
            self.additional_offset_khz
        } else {
            return None;
        };
        u32::try_from(offset_khz + RASTER_KHZ * i64::from(uarfcn)).ok()
    }

    /// The UARFCN at a frequency in kHz; `None` where no channel has its centre there.
    pub fn uarfcn(&self, khz: u32) -> Option<u32> {
        [self.offset_khz, self.additional_offset_khz].into_iter().find_map(|offset_khz| {
            let uarfcn = u32::try_from((i64::from(khz) - offset_khz) / RASTER_KHZ).ok()?;
            (self.khz(uarfcn) == Some(khz)).then_some(uarfcn)
        })
    }

    /// Every UARFCN of the direction.
    pub fn all(&self) -> impl Iterator<Item = u32> {
        (self.channels.first..=self.channels.last).chain(self.additional.iter().copied())
    }
}

impl UtraBand {
    /// Downlink minus uplink, kHz; `None` without an uplink.
    pub fn spacing_khz(&self) -> Option<i64> {
        let uplink = self.uplink.as_ref()?;
        Some(i64::from(self.downlink.edges.low_khz) - i64::from(uplink.edges.low_khz))
    }

    /// The channel of the other direction at the band's spacing: UARFCN and centre in kHz.
    fn partner(&self, of: Link, khz: u32) -> Option<(u32, u32)> {
        let spacing = self.spacing_khz()?;
        let (other, khz) = match of {
            Link::Uplink => (&self.downlink, i64::from(khz) + spacing),
            Link::Downlink | Link::Both => (self.uplink.as_ref()?, i64::from(khz) - spacing),
        };
        let khz = u32::try_from(khz).ok()?;
        Some((other.uarfcn(khz)?, khz))
    }
}

/// Every UTRA FDD band.
pub fn utra_bands() -> &'static [UtraBand] {
    &TABLE
}

/// A UTRA FDD band by its number.
pub fn utra_band(number: u16) -> Option<&'static UtraBand> {
    utra_bands().iter().find(|band| band.number == number)
}

/// Everything that a UARFCN may name, downlinks first.
pub fn utra_channels(uarfcn: u32) -> Vec<UtraChannel> {
    let downlinks = utra_bands().iter().filter_map(|band| {
        let khz = band.downlink.khz(uarfcn)?;
        let uplink = band.partner(Link::Downlink, khz);
        Some(UtraChannel { band, link: Link::Downlink, downlink: Some((uarfcn, khz)), uplink })
    });
    let uplinks = utra_bands().iter().filter_map(|band| {
        let khz = band.uplink.as_ref()?.khz(uarfcn)?;
        let downlink = band.partner(Link::Uplink, khz);
        Some(UtraChannel { band, link: Link::Uplink, downlink, uplink: Some((uarfcn, khz)) })
    });
    downlinks.chain(uplinks).collect()
}

static TABLE: LazyLock<Vec<UtraBand>> = LazyLock::new(|| FILE.load());

pub(crate) static FILE: File<Vec<UtraBand>> =
    File::new("utra.csv", include_str!("../../../band-tables/utra.csv"), read);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    band: u16,
    #[serde(deserialize_with = "filled")]
    roman: &'static str,
    uplink_low_khz: Option<u32>,
    uplink_high_khz: Option<u32>,
    downlink_low_khz: Option<u32>,
    downlink_high_khz: Option<u32>,
    uplink_offset_khz: Option<i64>,
    uplink_first: Option<u32>,
    uplink_last: Option<u32>,
    downlink_offset_khz: Option<i64>,
    downlink_first: Option<u32>,
    downlink_last: Option<u32>,
    #[serde(default)]
    uplink_additional: &'static str,
    #[serde(default)]
    downlink_additional: &'static str,
    #[serde(deserialize_with = "filled")]
    clause: &'static str,
    standing: Standing,
    read_in: &'static str,
    #[serde(default)]
    note: &'static str,
}

fn read(sheet: &Sheet<'_>) -> Result<Vec<UtraBand>, TableError> {
    sheet.rows(|row: Row, place| {
        let uplink = direction(
            place,
            ["uplink_high_khz", "uplink_offset_khz", "uplink_last", "uplink_additional"],
            (row.uplink_low_khz, row.uplink_high_khz),
            (row.uplink_first, row.uplink_last, row.uplink_offset_khz),
            row.uplink_additional,
        )?;
        let downlink = direction(
            place,
            ["downlink_high_khz", "downlink_offset_khz", "downlink_last", "downlink_additional"],
            (row.downlink_low_khz, row.downlink_high_khz),
            (row.downlink_first, row.downlink_last, row.downlink_offset_khz),
            row.downlink_additional,
        )?;
        Ok(UtraBand {
            number: row.band,
            roman: row.roman,
            uplink,
            downlink: downlink
                .ok_or_else(|| place.error("downlink_low_khz", "must not be empty"))?,
            source: Source::new(row.clause, row.standing, row.read_in, row.note),
        })
    })
}

/// One direction; `columns` name its upper edge, offset, last channel and additional channels.
fn direction(
    place: Place<'_>,
    columns: [&str; 4],
    (low, high): (Option<u32>, Option<u32>),
    (first, last, offset): (Option<u32>, Option<u32>, Option<i64>),
    additional: &str,
) -> Result<Option<Direction>, TableError> {
    let edges = edges(place, low, high, columns[0])?;
    let channels = channels(place, first, last, columns[2])?;
    let (edges, channels, offset_khz) = match (edges, channels, offset) {
        (None, None, None) => return Ok(None),
        (Some(edges), Some(channels), Some(offset)) => (edges, channels, offset),
        _ => return Err(place.error(columns[1], "edges, offset and UARFCN go together")),
    };
    let (additional_offset_khz, additional) = if additional.is_empty() {
        (offset_khz, Vec::new())
    } else {
        more_channels(additional).ok_or_else(|| {
            place.error(columns[3], format!("{additional:?} is not like 1850100@12 37 62"))
        })?
    };
    let direction = Direction { edges, channels, offset_khz, additional, additional_offset_khz };
    // The outermost carriers keep about half a channel (2.4 to 2.6 MHz) from the edges.
    let inside = |khz: u32| khz >= edges.low_khz + 2400 && khz + 2400 <= edges.high_khz;
    let off = direction.all().find(|n| !direction.khz(*n).is_some_and(inside));
    match off {
        None => Ok(Some(direction)),
        Some(n) => Err(place.error(columns[1], format!("puts the carrier {n} off the band"))),
    }
}

fn more_channels(text: &str) -> Option<(i64, Vec<u32>)> {
    let (offset_khz, numbers) = text.split_once('@')?;
    let numbers = numbers.split(' ').map(str::parse).collect::<Result<_, _>>().ok()?;
    Some((offset_khz.parse().ok()?, numbers))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_channel_round_trips() {
        for band in utra_bands() {
            for n in band.downlink.all() {
                assert_eq!(band.downlink.uarfcn(band.downlink.khz(n).unwrap()), Some(n));
                assert!(utra_channels(n).iter().any(|c| c.band.number == band.number));
            }
            for n in band.uplink.iter().flat_map(Direction::all) {
                let uplink = band.uplink.as_ref().unwrap();
                assert_eq!(uplink.uarfcn(uplink.khz(n).unwrap()), Some(n));
            }
        }
    }

    #[test]
    fn additional_channels_come_in_pairs() {
        for band in utra_bands() {
            for n in &band.uplink.as_ref().map_or(Vec::new(), |u| u.additional.clone()) {
                let khz = band.uplink.as_ref().unwrap().khz(*n).unwrap();
                assert!(band.partner(Link::Uplink, khz).is_some(), "{} {n}", band.roman);
            }
        }
        // TS 25.101 table 5.1A: 412 is the first additional downlink of band II, 1932.5 MHz.
        assert_eq!(utra_channels(412)[0].downlink, Some((412, 1_932_500)));
        assert_eq!(utra_channels(412)[0].uplink, Some((12, 1_852_500)));
    }

    #[test]
    fn a_number_may_be_uplink_and_downlink() {
        let links: Vec<_> = utra_channels(1200).iter().map(|c| (c.band.roman, c.link)).collect();
        assert_eq!(links, [("III", Link::Downlink), ("III", Link::Uplink)]);
        assert_eq!(utra_channels(10_562)[0].downlink, Some((10_562, 2_112_400)));
    }
}
