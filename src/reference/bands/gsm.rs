//! GSM bands and ARFCN (TS 45.005 §2).

use super::spectrum::{Channels, Edges, edges};
use crate::reference::table::{File, Place, Sheet, Source, Standing, TableError, filled};
use serde::Deserialize;
use std::sync::LazyLock;

/// A run of channel numbers and the uplink frequency of its first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Run {
    /// The numbers.
    pub channels: Channels,
    /// Uplink of the first number, kHz.
    pub first_khz: u32,
}

/// A GSM band.
#[derive(Clone, Debug)]
pub struct GsmBand {
    /// The name in the standard: `E-GSM 900`.
    pub name: &'static str,
    /// Other short names, blank-separated.
    pub also: &'static str,
    /// The uplink.
    pub uplink: Edges,
    /// The downlink.
    pub downlink: Edges,
    /// The channel numbers; empty where the network maps them as it likes.
    pub runs: Vec<Run>,
    /// Downlink minus uplink, kHz.
    pub duplex_khz: i32,
    /// Where the row comes from.
    pub source: Source,
}

const RASTER_KHZ: u32 = 200;

impl GsmBand {
    /// Uplink and downlink of an ARFCN in kHz; `None` where it is not of this band.
    pub fn khz(&self, arfcn: u32) -> Option<(u32, u32)> {
        let run = self.runs.iter().find(|run| run.channels.contains(arfcn))?;
        let uplink = run.first_khz + RASTER_KHZ * (arfcn - run.channels.first);
        Some((uplink, uplink.checked_add_signed(self.duplex_khz)?))
    }

    /// The ARFCN whose uplink is at a frequency in kHz.
    pub fn arfcn_of_uplink(&self, khz: u32) -> Option<u32> {
        self.runs.iter().find_map(|run| {
            let above = khz.checked_sub(run.first_khz)?;
            let arfcn = run.channels.first + above / RASTER_KHZ;
            (above % RASTER_KHZ == 0 && run.channels.contains(arfcn)).then_some(arfcn)
        })
    }

    /// The ARFCN whose downlink is at a frequency in kHz.
    pub fn arfcn_of_downlink(&self, khz: u32) -> Option<u32> {
        self.arfcn_of_uplink(khz.checked_add_signed(-self.duplex_khz)?)
    }
}

/// Every GSM band.
pub fn gsm_bands() -> &'static [GsmBand] {
    &TABLE
}

/// The bands that a short name means: `900` means all four that are called so.
pub fn gsm_bands_named(name: &str) -> Vec<&'static GsmBand> {
    let plain = |text: &str| -> String {
        text.chars().filter(char::is_ascii_alphanumeric).collect::<String>().to_ascii_uppercase()
    };
    let wanted = plain(name);
    let short = wanted.trim_start_matches("GSM");
    gsm_bands()
        .iter()
        .filter(|band| {
            plain(band.name) == wanted
                || band.also.split(' ').any(|also| also == wanted || also == short)
                || plain(band.name).replace("GSM", "") == wanted.replace("GSM", "")
        })
        .collect()
}

/// Every band that has an ARFCN.
pub fn gsm_bands_of_arfcn(arfcn: u32) -> Vec<&'static GsmBand> {
    gsm_bands().iter().filter(|band| band.khz(arfcn).is_some()).collect()
}

static TABLE: LazyLock<Vec<GsmBand>> = LazyLock::new(|| FILE.load());

pub(crate) static FILE: File<Vec<GsmBand>> =
    File::new("gsm.csv", include_str!("../../../band-tables/gsm.csv"), read);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    #[serde(deserialize_with = "filled")]
    name: &'static str,
    also: &'static str,
    uplink_low_khz: Option<u32>,
    uplink_high_khz: Option<u32>,
    downlink_low_khz: Option<u32>,
    downlink_high_khz: Option<u32>,
    channels: &'static str,
    duplex_khz: i32,
    #[serde(deserialize_with = "filled")]
    clause: &'static str,
    standing: Standing,
    read_in: &'static str,
    #[serde(default)]
    note: &'static str,
}

fn read(sheet: &Sheet<'_>) -> Result<Vec<GsmBand>, TableError> {
    sheet.rows(|row: Row, place| {
        let need = |column: &str| place.error(column, "must not be empty");
        let band = GsmBand {
            name: row.name,
            also: row.also,
            uplink: edges(place, row.uplink_low_khz, row.uplink_high_khz, "uplink_high_khz")?
                .ok_or_else(|| need("uplink_low_khz"))?,
            downlink: edges(
                place,
                row.downlink_low_khz,
                row.downlink_high_khz,
                "downlink_high_khz",
            )?
            .ok_or_else(|| need("downlink_low_khz"))?,
            runs: runs(row.channels, place)?,
            duplex_khz: row.duplex_khz,
            source: Source::new(row.clause, row.standing, row.read_in, row.note),
        };
        let ends = band.runs.iter().flat_map(|run| [run.channels.first, run.channels.last]);
        for arfcn in ends {
            let fits = band
                .khz(arfcn)
                .is_some_and(|(up, down)| band.uplink.contains(up) && band.downlink.contains(down));
            if !fits {
                return Err(place.error("channels", format!("{arfcn} lies off the band")));
            }
        }
        Ok(band)
    })
}

/// The runs of channel numbers; none where the network assigns them.
fn runs(text: &str, place: Place<'_>) -> Result<Vec<Run>, TableError> {
    text.split_whitespace()
        .map(|run| {
            let (numbers, khz) = run.split_once('@')?;
            let (first, last) = numbers.split_once('-')?;
            Some(Run {
                channels: Channels { first: first.parse().ok()?, last: last.parse().ok()? },
                first_khz: khz.parse().ok()?,
            })
        })
        .collect::<Option<_>>()
        .ok_or_else(|| place.error("channels", format!("{text:?} is not like 0-124@890000")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_channel_round_trips() {
        for band in gsm_bands() {
            for run in &band.runs {
                for n in run.channels.first..=run.channels.last {
                    let (up, down) = band.khz(n).unwrap();
                    assert_eq!(band.arfcn_of_uplink(up), Some(n));
                    assert_eq!(band.arfcn_of_downlink(down), Some(n));
                }
            }
        }
    }

    #[test]
    fn one_number_two_bands() {
        let names: Vec<_> = gsm_bands_of_arfcn(661).iter().map(|b| b.name).collect();
        assert_eq!(names, ["DCS 1800", "PCS 1900"]);
        let names: Vec<_> = gsm_bands_named("GSM900").iter().map(|b| b.name).collect();
        assert_eq!(names, ["E-GSM 900"]);
        assert_eq!(gsm_bands_named("pcs1900").len(), 1);
        assert_eq!(gsm_bands_named("dcs")[0].khz(512), Some((1_710_200, 1_805_200)));
    }
}
