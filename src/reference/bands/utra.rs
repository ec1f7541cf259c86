//! UTRA FDD operating bands and UARFCN (TS 25.101 §5.2, §5.4).
//!
//! `F = F_Offset + N / 5` MHz for either link. Bands share numbers, and some numbers are both an
//! uplink and a downlink.

use super::{Channels, Edges, Link, channels, edges};
use crate::reference::table::{Row, Sheet, Source, Table, TableError};

/// A UTRA FDD operating band.
#[derive(Clone, Debug)]
pub struct UtraBand {
    /// The band number.
    pub number: u16,
    /// The band number as the standard writes it.
    pub roman: &'static str,
    /// The uplink.
    pub uplink: Edges,
    /// The downlink.
    pub downlink: Edges,
    /// Uplink UARFCN.
    pub uplink_channels: Channels,
    /// Downlink UARFCN.
    pub downlink_channels: Channels,
    uplink_offset_khz: i64,
    downlink_offset_khz: i64,
    /// Where the row comes from.
    pub source: Source,
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

impl UtraBand {
    /// The centre of a downlink UARFCN in kHz.
    pub fn downlink_khz(&self, uarfcn: u32) -> Option<u32> {
        centre(self.downlink_channels, self.downlink_offset_khz, uarfcn)
    }

    /// The centre of an uplink UARFCN in kHz.
    pub fn uplink_khz(&self, uarfcn: u32) -> Option<u32> {
        centre(self.uplink_channels, self.uplink_offset_khz, uarfcn)
    }

    /// The downlink UARFCN at a frequency in kHz.
    pub fn downlink_uarfcn(&self, khz: u32) -> Option<u32> {
        number(self.downlink_channels, self.downlink_offset_khz, khz)
    }

    /// The uplink UARFCN at a frequency in kHz.
    pub fn uplink_uarfcn(&self, khz: u32) -> Option<u32> {
        number(self.uplink_channels, self.uplink_offset_khz, khz)
    }

    /// Downlink minus uplink, kHz.
    pub fn spacing_khz(&self) -> i64 {
        i64::from(self.downlink.low_khz) - i64::from(self.uplink.low_khz)
    }
}

fn centre(channels: Channels, offset_khz: i64, uarfcn: u32) -> Option<u32> {
    let khz = offset_khz + RASTER_KHZ * i64::from(uarfcn);
    channels.contains(uarfcn).then(|| u32::try_from(khz).ok()).flatten()
}

fn number(channels: Channels, offset_khz: i64, khz: u32) -> Option<u32> {
    let above = i64::from(khz) - offset_khz;
    let uarfcn = u32::try_from(above / RASTER_KHZ).ok()?;
    (above % RASTER_KHZ == 0 && channels.contains(uarfcn)).then_some(uarfcn)
}

/// Every UTRA FDD band.
pub fn utra_bands() -> &'static [UtraBand] {
    TABLE.get()
}

/// A UTRA FDD band by its number.
pub fn utra_band(number: u16) -> Option<&'static UtraBand> {
    utra_bands().iter().find(|band| band.number == number)
}

/// Everything that a UARFCN may name, downlinks first.
pub fn utra_channels(uarfcn: u32) -> Vec<UtraChannel> {
    let paired = |khz: u32, spacing: i64| u32::try_from(i64::from(khz) + spacing).ok();
    let downlinks = utra_bands().iter().filter_map(|band| {
        let khz = band.downlink_khz(uarfcn)?;
        let uplink =
            paired(khz, -band.spacing_khz()).and_then(|khz| Some((band.uplink_uarfcn(khz)?, khz)));
        Some(UtraChannel { band, link: Link::Downlink, downlink: Some((uarfcn, khz)), uplink })
    });
    let uplinks = utra_bands().iter().filter_map(|band| {
        let khz = band.uplink_khz(uarfcn)?;
        let downlink =
            paired(khz, band.spacing_khz()).and_then(|khz| Some((band.downlink_uarfcn(khz)?, khz)));
        Some(UtraChannel { band, link: Link::Uplink, downlink, uplink: Some((uarfcn, khz)) })
    });
    downlinks.chain(uplinks).collect()
}

pub(crate) static TABLE: Table<Vec<UtraBand>> =
    Table::new("utra.csv", include_str!("../../../band-tables/utra.csv"), read);

fn read(sheet: Sheet<'_>) -> Result<Vec<UtraBand>, TableError> {
    sheet.rows(|row| {
        let need = |key: &str| row.error(key, "must not be empty");
        let band = UtraBand {
            number: row.number("band")?,
            roman: row.filled("roman")?,
            uplink: edges(row, "uplink_low_khz", "uplink_high_khz")?
                .ok_or_else(|| need("uplink_low_khz"))?,
            downlink: edges(row, "downlink_low_khz", "downlink_high_khz")?
                .ok_or_else(|| need("downlink_low_khz"))?,
            uplink_channels: channels(row, "uplink_first", "uplink_last")?
                .ok_or_else(|| need("uplink_first"))?,
            downlink_channels: channels(row, "downlink_first", "downlink_last")?
                .ok_or_else(|| need("downlink_first"))?,
            uplink_offset_khz: row.number("uplink_offset_khz")?,
            downlink_offset_khz: row.number("downlink_offset_khz")?,
            source: row.source()?,
        };
        inside(
            row,
            "uplink_offset_khz",
            band.uplink,
            &|n| band.uplink_khz(n),
            band.uplink_channels,
        )?;
        inside(
            row,
            "downlink_offset_khz",
            band.downlink,
            &|n| band.downlink_khz(n),
            band.downlink_channels,
        )?;
        Ok(band)
    })
}

/// The outermost carriers keep about half a channel (2.4 to 2.6 MHz) from the edges.
fn inside(
    row: &Row<'_>,
    key: &str,
    edges: Edges,
    khz: &dyn Fn(u32) -> Option<u32>,
    channels: Channels,
) -> Result<(), TableError> {
    let fits = khz(channels.first).is_some_and(|low| low >= edges.low_khz + 2400)
        && khz(channels.last).is_some_and(|high| high + 2400 <= edges.high_khz);
    if fits { Ok(()) } else { Err(row.error(key, "puts the first or last carrier off the band")) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_channel_round_trips() {
        for band in utra_bands() {
            for n in band.downlink_channels.first..=band.downlink_channels.last {
                assert_eq!(band.downlink_uarfcn(band.downlink_khz(n).unwrap()), Some(n));
                assert!(utra_channels(n).iter().any(|c| c.band.number == band.number));
            }
            for n in band.uplink_channels.first..=band.uplink_channels.last {
                assert_eq!(band.uplink_uarfcn(band.uplink_khz(n).unwrap()), Some(n));
            }
        }
    }

    #[test]
    fn a_number_may_be_uplink_and_downlink() {
        let links: Vec<_> = utra_channels(1200).iter().map(|c| (c.band.roman, c.link)).collect();
        assert_eq!(links, [("III", Link::Downlink), ("III", Link::Uplink)]);
        assert_eq!(utra_channels(10_562)[0].downlink, Some((10_562, 2_112_400)));
    }
}
