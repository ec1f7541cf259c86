//! E-UTRA operating bands and EARFCN (TS 36.101 §5.5, §5.6.1, §5.7.3).
//!
//! `F = F_low + 0.1 (N - N_offs)` MHz for either link; a channel number so near to an edge that
//! its channel would reach beyond must not be used (§5.7.3, note to table 5.7.3-1).

use super::spectrum::{Channels, Duplex, Edges, Link, channels, edges};
use crate::reference::table::{File, Place, Sheet, Source, Standing, TableError, filled};
use serde::Deserialize;
use std::sync::LazyLock;

/// An E-UTRA operating band.
#[derive(Clone, Debug)]
pub struct EutraBand {
    /// The band number.
    pub number: u16,
    /// How the directions are divided.
    pub duplex: Duplex,
    /// The downlink.
    pub downlink: Edges,
    /// The uplink; `None` where the band has none.
    pub uplink: Option<Edges>,
    /// Downlink EARFCN.
    pub downlink_channels: Channels,
    /// Uplink EARFCN; `None` where the band has none.
    pub uplink_channels: Option<Channels>,
    /// Channel widths that devices support in this band, kHz.
    pub bandwidths_khz: Vec<u32>,
    /// Whether two independent places or more agree on the widths.
    pub bandwidths_verified: bool,
    /// The release that brought the band, from memory.
    pub release: u8,
    /// Whether LTE-M (categories M1 and M2) is specified for the band, from memory.
    pub lte_m: bool,
    /// Whether NB-IoT is specified for the band, from memory.
    pub nb_iot: bool,
    /// Where the row comes from.
    pub source: Source,
}

/// One EARFCN in its band.
#[derive(Clone, Copy, Debug)]
pub struct LteChannel {
    /// The band that the number belongs to.
    pub band: &'static EutraBand,
    /// The direction that the number names.
    pub link: Link,
    /// The downlink: EARFCN and centre in kHz.
    pub downlink: Option<(u32, u32)>,
    /// The uplink that goes with it: EARFCN and centre in kHz.
    pub uplink: Option<(u32, u32)>,
}

/// The step between neighbouring EARFCN, kHz.
pub const RASTER_KHZ: u32 = 100;

impl EutraBand {
    /// The centre of a downlink EARFCN in kHz; `None` where it is not of this band.
    pub fn downlink_khz(&self, earfcn: u32) -> Option<u32> {
        centre(self.downlink, self.downlink_channels, earfcn)
    }

    /// The centre of an uplink EARFCN in kHz; `None` where it is not of this band.
    pub fn uplink_khz(&self, earfcn: u32) -> Option<u32> {
        centre(self.uplink?, self.uplink_channels?, earfcn)
    }

    /// The downlink EARFCN at a frequency in kHz; `None` off the raster or outside the band.
    pub fn downlink_earfcn(&self, khz: u32) -> Option<u32> {
        number(self.downlink, self.downlink_channels, khz)
    }

    /// The uplink EARFCN at a frequency in kHz; `None` off the raster or outside the band.
    pub fn uplink_earfcn(&self, khz: u32) -> Option<u32> {
        number(self.uplink?, self.uplink_channels?, khz)
    }

    /// The uplink EARFCN that goes with a downlink EARFCN at the default spacing (§5.7.4).
    ///
    /// `None` where the band has no uplink, or where its downlink is wider than its uplink and
    /// this part has no partner.
    pub fn uplink_of(&self, downlink: u32) -> Option<u32> {
        let uplink = self.uplink_channels?;
        let number = downlink.checked_sub(self.downlink_channels.first)? + uplink.first;
        (self.downlink_channels.contains(downlink) && uplink.contains(number)).then_some(number)
    }

    /// The downlink EARFCN that goes with an uplink EARFCN at the default spacing.
    pub fn downlink_of(&self, uplink: u32) -> Option<u32> {
        let number =
            uplink.checked_sub(self.uplink_channels?.first)? + self.downlink_channels.first;
        (self.uplink_channels?.contains(uplink) && self.downlink_channels.contains(number))
            .then_some(number)
    }

    /// Downlink minus uplink at the default spacing, kHz; 0 for TDD, `None` without an uplink.
    pub fn spacing_khz(&self) -> Option<i64> {
        Some(i64::from(self.downlink.low_khz) - i64::from(self.uplink?.low_khz))
    }

    /// The spectrum that the downlinks of both share.
    pub fn shares(&self, other: &Self) -> Option<Edges> {
        self.downlink.shared(other.downlink)
    }
}

fn centre(edges: Edges, channels: Channels, earfcn: u32) -> Option<u32> {
    channels.contains(earfcn).then(|| edges.low_khz + RASTER_KHZ * (earfcn - channels.first))
}

fn number(edges: Edges, channels: Channels, khz: u32) -> Option<u32> {
    let above = khz.checked_sub(edges.low_khz)?;
    let earfcn = channels.first + above / RASTER_KHZ;
    (above % RASTER_KHZ == 0 && channels.contains(earfcn)).then_some(earfcn)
}

/// Every E-UTRA band, in the order of the table.
pub fn lte_bands() -> &'static [EutraBand] {
    &TABLE
}

/// An E-UTRA band by its number.
pub fn lte_band(number: u16) -> Option<&'static EutraBand> {
    lte_bands().iter().find(|band| band.number == number)
}

/// The band that a downlink EARFCN belongs to; each number belongs to one band at most.
pub fn lte_band_of_earfcn(downlink: u32) -> Option<&'static EutraBand> {
    lte_bands().iter().find(|band| band.downlink_channels.contains(downlink))
}

/// What an EARFCN names, whichever direction it is of.
pub fn lte_channel(earfcn: u32) -> Option<LteChannel> {
    if let Some(band) = lte_band_of_earfcn(earfcn) {
        let link = if band.duplex == Duplex::Tdd { Link::Both } else { Link::Downlink };
        let uplink = band.uplink_of(earfcn);
        return Some(LteChannel {
            band,
            link,
            downlink: band.downlink_khz(earfcn).map(|khz| (earfcn, khz)),
            uplink: uplink.and_then(|n| Some((n, band.uplink_khz(n)?))),
        });
    }
    let band = lte_bands()
        .iter()
        .find(|band| band.uplink_channels.is_some_and(|channels| channels.contains(earfcn)))?;
    let downlink = band.downlink_of(earfcn);
    Some(LteChannel {
        band,
        link: Link::Uplink,
        downlink: downlink.and_then(|n| Some((n, band.downlink_khz(n)?))),
        uplink: band.uplink_khz(earfcn).map(|khz| (earfcn, khz)),
    })
}

/// The other bands whose downlink shares spectrum with a band's: a modem on one of them can hear
/// cells that are announced on the other (and a cell may announce several, TS 36.331 §6.3.1).
pub fn lte_bands_overlapping(number: u16) -> Vec<&'static EutraBand> {
    let Some(this) = lte_band(number) else {
        return Vec::new();
    };
    lte_bands()
        .iter()
        .filter(|other| other.number != number && this.shares(other).is_some())
        .collect()
}

/// How an E-UTRA band divides its directions.
pub fn lte_duplex(number: u16) -> Option<Duplex> {
    lte_band(number).map(|band| band.duplex)
}

static TABLE: LazyLock<Vec<EutraBand>> = LazyLock::new(|| FILE.load());

pub(crate) static FILE: File<Vec<EutraBand>> =
    File::new("e-utra.csv", include_str!("../../../band-tables/e-utra.csv"), read);

fn read(sheet: &Sheet<'_>) -> Result<Vec<EutraBand>, TableError> {
    sheet.rows(band)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    band: u16,
    duplex: Duplex,
    uplink_low_khz: Option<u32>,
    uplink_high_khz: Option<u32>,
    downlink_low_khz: Option<u32>,
    downlink_high_khz: Option<u32>,
    downlink_first: Option<u32>,
    downlink_last: Option<u32>,
    uplink_first: Option<u32>,
    uplink_last: Option<u32>,
    #[serde(deserialize_with = "filled")]
    bandwidths_khz: &'static str,
    bandwidths_standing: Standing,
    release: u8,
    #[serde(default)]
    iot: &'static str,
    #[serde(deserialize_with = "filled")]
    clause: &'static str,
    standing: Standing,
    read_in: &'static str,
    #[serde(default)]
    note: &'static str,
}

fn band(row: Row, place: Place<'_>) -> Result<EutraBand, TableError> {
    let downlink = edges(place, row.downlink_low_khz, row.downlink_high_khz, "downlink_high_khz")?
        .ok_or_else(|| place.error("downlink_low_khz", "must not be empty"))?;
    let downlink_channels =
        channels(place, row.downlink_first, row.downlink_last, "downlink_last")?
            .ok_or_else(|| place.error("downlink_first", "must not be empty"))?;
    let uplink = edges(place, row.uplink_low_khz, row.uplink_high_khz, "uplink_high_khz")?;
    let uplink_channels = channels(place, row.uplink_first, row.uplink_last, "uplink_last")?;
    as_wide(place, "downlink_last", downlink, downlink_channels)?;
    match (uplink, uplink_channels) {
        (Some(uplink), Some(channels)) => as_wide(place, "uplink_last", uplink, channels)?,
        (None, None) => {}
        _ => return Err(place.error("uplink_first", "edges and EARFCN go together")),
    }
    let width = |width: &str| {
        width
            .parse()
            .map_err(|_| place.error("bandwidths_khz", format!("{width:?} is not a width in kHz")))
    };
    if let Some(word) = row.iot.split_whitespace().find(|word| !matches!(*word, "M" | "NB")) {
        return Err(place.error("iot", format!("{word:?} is neither M nor NB")));
    }
    Ok(EutraBand {
        number: row.band,
        duplex: row.duplex,
        downlink,
        uplink,
        downlink_channels,
        uplink_channels,
        bandwidths_khz: row.bandwidths_khz.split(' ').map(width).collect::<Result<_, _>>()?,
        bandwidths_verified: row.bandwidths_standing.is_verified(),
        release: row.release,
        lte_m: row.iot.split(' ').any(|word| word == "M"),
        nb_iot: row.iot.split(' ').any(|word| word == "NB"),
        source: Source::new(row.clause, row.standing, row.read_in, row.note),
    })
}

/// A slip of the hand in an edge or a number breaks this: a band holds a channel each 100 kHz.
fn as_wide(
    place: Place<'_>,
    column: &str,
    edges: Edges,
    channels: Channels,
) -> Result<(), TableError> {
    let wanted = channels.first + edges.width_khz() / RASTER_KHZ - 1;
    if channels.last == wanted {
        return Ok(());
    }
    Err(place.error(column, format!("{} does not fit the edges, {wanted} does", channels.last)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn every_channel_of_every_band_round_trips() {
        for band in lte_bands() {
            for n in band.downlink_channels.first..=band.downlink_channels.last {
                let khz = band.downlink_khz(n).unwrap();
                assert_eq!(band.downlink_earfcn(khz), Some(n));
                assert_eq!(lte_band_of_earfcn(n).unwrap().number, band.number);
                if let Some(up) = band.uplink_of(n) {
                    assert_eq!(band.downlink_of(up), Some(n));
                    let spacing = i64::from(khz) - i64::from(band.uplink_khz(up).unwrap());
                    assert_eq!(Some(spacing), band.spacing_khz());
                }
            }
            for n in band.uplink_channels.map_or(0..0, |c| c.first..c.last + 1) {
                assert_eq!(band.uplink_earfcn(band.uplink_khz(n).unwrap()), Some(n));
            }
        }
    }

    #[test]
    fn edges_first_and_last() {
        let b20 = lte_band(20).unwrap();
        assert_eq!(b20.downlink_khz(6149), None);
        assert_eq!(b20.downlink_khz(6150), Some(791_000));
        assert_eq!(b20.downlink_khz(6449), Some(820_900));
        assert_eq!(b20.downlink_khz(6450), None);
        assert_eq!(b20.spacing_khz(), Some(-41_000));
    }

    #[test]
    fn a_downlink_without_partner_has_no_uplink() {
        let b66 = lte_channel(67_136).unwrap();
        assert_eq!((b66.band.number, b66.uplink), (66, None));
        assert_eq!(lte_channel(67_135).unwrap().uplink, Some((132_671, 1_779_900)));
        assert_eq!(lte_channel(9_700).unwrap().uplink, None);
    }

    #[test]
    fn an_uplink_number_is_recognised() {
        let channel = lte_channel(24_300).unwrap();
        assert_eq!((channel.band.number, channel.link), (20, Link::Uplink));
        assert_eq!(channel.downlink, Some((6300, 806_000)));
    }

    #[test]
    fn band_41_can_hear_38_and_7() {
        let heard: Vec<_> = lte_bands_overlapping(41).iter().map(|b| b.number).collect();
        assert_eq!(heard, [7, 38, 69]);
        assert!(lte_bands_overlapping(4).iter().any(|b| b.number == 66));
    }

    proptest! {
        #[test]
        fn no_number_names_two_bands(n in 0u32..270_000) {
            let down = lte_bands().iter().filter(|b| b.downlink_channels.contains(n)).count();
            let up = lte_bands()
                .iter()
                .filter(|b| b.duplex != Duplex::Tdd)
                .filter(|b| b.uplink_channels.is_some_and(|c| c.contains(n)))
                .count();
            prop_assert!(down + up <= 1);
        }
    }
}
