//! NR operating bands and NR-ARFCN (TS 38.101-1 and 38.101-2 §5.2, §5.4.2).
//!
//! `F_REF = F_REF-Offs + ΔF_Global (N_REF - N_REF-Offs)` with the three ranges of table
//! 5.4.2.1-1. A number says no band by itself: bands share frequencies, and so numbers.

use super::spectrum::{Channels, Duplex, Edges, channels, edges};
use crate::reference::table::{File, Place, Sheet, Source, Standing, TableError, filled};
use serde::Deserialize;
use std::sync::LazyLock;

/// A raster on which carriers of a band may stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Raster {
    /// The raster in kHz.
    pub khz: u32,
    /// The step in NR-ARFCN; `None` where the allowed points are a list.
    pub step: Option<u32>,
    /// Uplink NR-ARFCN.
    pub uplink: Option<Channels>,
    /// Downlink NR-ARFCN.
    pub downlink: Option<Channels>,
}

/// An NR operating band.
#[derive(Clone, Debug)]
pub struct NrBand {
    /// The band number, without `n`.
    pub number: u16,
    /// `FR1` below 7.125 GHz, `FR2` above 24 GHz.
    pub range: &'static str,
    /// How the directions are divided.
    pub duplex: Duplex,
    /// The uplink; `None` where the band has none.
    pub uplink: Option<Edges>,
    /// The downlink; `None` where the band has none.
    pub downlink: Option<Edges>,
    /// The channel rasters.
    pub rasters: Vec<Raster>,
    /// Where the rows come from; verified only if every row is.
    pub source: Source,
}

impl NrBand {
    /// Whether a number lies on a raster of the band, in either direction.
    pub fn on_raster(&self, arfcn: u32) -> bool {
        self.rasters.iter().any(|raster| {
            [raster.uplink, raster.downlink].into_iter().flatten().any(|channels| {
                channels.contains(arfcn)
                    && raster.step.is_some_and(|step| (arfcn - channels.first).is_multiple_of(step))
            })
        })
    }

    /// Whether a frequency lies in either direction of the band.
    pub fn contains(&self, khz: u32) -> bool {
        [self.uplink, self.downlink].into_iter().flatten().any(|edges| edges.contains(khz))
    }

    /// Downlink minus uplink, kHz, where both are equally wide; else the spacing is not fixed.
    pub fn spacing_khz(&self) -> Option<i64> {
        let (up, down) = (self.uplink?, self.downlink?);
        (up.width_khz() == down.width_khz())
            .then(|| i64::from(down.low_khz) - i64::from(up.low_khz))
    }
}

/// The ranges of table 5.4.2.1-1: first and last number, step and first frequency in kHz.
const GLOBAL: [(u32, u32, u32, u32); 3] = [
    (0, 599_999, 5, 0),
    (600_000, 2_016_666, 15, 3_000_000),
    (2_016_667, 3_279_165, 60, 24_250_080),
];

/// The highest NR-ARFCN.
pub const LAST: u32 = 3_279_165;

/// Below the lowest raster of any band (n31), where other systems number their channels.
pub const FIRST_LIKELY: u32 = 90_000;

/// The frequency of an NR-ARFCN in kHz; `None` above the highest number.
pub fn khz_of(arfcn: u32) -> Option<u32> {
    GLOBAL
        .iter()
        .find(|(first, last, ..)| (*first..=*last).contains(&arfcn))
        .map(|(first, _, step, base)| base + step * (arfcn - first))
}

/// The NR-ARFCN at a frequency in kHz; `None` off the global raster or outside it.
pub fn arfcn_of(khz: u32) -> Option<u32> {
    GLOBAL.iter().rev().find(|(.., base)| khz >= *base).and_then(|(first, last, step, base)| {
        let above = khz - base;
        let arfcn = first + above / step;
        (above.is_multiple_of(*step) && arfcn <= *last).then_some(arfcn)
    })
}

/// Every NR band, in the order of the table.
pub fn nr_bands() -> &'static [NrBand] {
    &TABLE
}

/// An NR band by its number, without `n`.
pub fn nr_band(number: u16) -> Option<&'static NrBand> {
    nr_bands().iter().find(|band| band.number == number)
}

/// Every band whose spectrum holds the frequency of a number.
pub fn nr_bands_of_arfcn(arfcn: u32) -> Vec<&'static NrBand> {
    let Some(khz) = khz_of(arfcn) else {
        return Vec::new();
    };
    nr_bands().iter().filter(|band| band.contains(khz)).collect()
}

/// The other bands whose downlink shares spectrum with a band's.
pub fn nr_bands_overlapping(number: u16) -> Vec<&'static NrBand> {
    let Some(this) = nr_band(number).and_then(|band| band.downlink) else {
        return Vec::new();
    };
    nr_bands()
        .iter()
        .filter(|other| other.number != number)
        .filter(|other| other.downlink.is_some_and(|edges| edges.shared(this).is_some()))
        .collect()
}

/// How an NR band divides its directions.
pub fn nr_duplex(number: u16) -> Option<Duplex> {
    nr_band(number).map(|band| band.duplex)
}

static TABLE: LazyLock<Vec<NrBand>> = LazyLock::new(|| FILE.load());

pub(crate) static FILE: File<Vec<NrBand>> =
    File::new("nr.csv", include_str!("../../../band-tables/nr.csv"), read);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    band: u16,
    range: &'static str,
    duplex: Duplex,
    uplink_low_khz: Option<u32>,
    uplink_high_khz: Option<u32>,
    downlink_low_khz: Option<u32>,
    downlink_high_khz: Option<u32>,
    raster_khz: u32,
    step: Option<u32>,
    uplink_first: Option<u32>,
    uplink_last: Option<u32>,
    downlink_first: Option<u32>,
    downlink_last: Option<u32>,
    #[serde(deserialize_with = "filled")]
    clause: &'static str,
    standing: Standing,
    read_in: &'static str,
    #[serde(default)]
    note: &'static str,
}

fn read(sheet: &Sheet<'_>) -> Result<Vec<NrBand>, TableError> {
    let mut bands: Vec<NrBand> = Vec::new();
    for (band, raster) in sheet.rows(band_and_raster)? {
        match bands.last_mut().filter(|last| last.number == band.number) {
            Some(last) => {
                last.rasters.push(raster);
                last.source.verified &= band.source.verified;
            }
            None => bands.push(NrBand { rasters: vec![raster], ..band }),
        }
    }
    Ok(bands)
}

fn band_and_raster(row: Row, place: Place<'_>) -> Result<(NrBand, Raster), TableError> {
    let uplink = edges(place, row.uplink_low_khz, row.uplink_high_khz, "uplink_high_khz")?;
    let downlink = edges(place, row.downlink_low_khz, row.downlink_high_khz, "downlink_high_khz")?;
    let raster = Raster {
        khz: row.raster_khz,
        step: row.step,
        uplink: channels(place, row.uplink_first, row.uplink_last, "uplink_last")?,
        downlink: channels(place, row.downlink_first, row.downlink_last, "downlink_last")?,
    };
    within(place, raster.uplink, raster.step, "uplink_first", uplink)?;
    within(place, raster.downlink, raster.step, "downlink_first", downlink)?;
    if !matches!(row.range, "FR1" | "FR2") {
        return Err(place.error("range", format!("{:?} is neither FR1 nor FR2", row.range)));
    }
    let band = NrBand {
        number: row.band,
        range: row.range,
        duplex: row.duplex,
        uplink,
        downlink,
        rasters: Vec::new(),
        source: Source::new(row.clause, row.standing, row.read_in, row.note),
    };
    Ok((band, raster))
}

/// The ends of a raster lie within the edges, a whole number of steps apart.
fn within(
    place: Place<'_>,
    channels: Option<Channels>,
    step: Option<u32>,
    column: &str,
    edges: Option<Edges>,
) -> Result<(), TableError> {
    let Some(channels) = channels else {
        return Ok(());
    };
    let ends = [khz_of(channels.first), khz_of(channels.last)];
    let fits = edges
        .is_some_and(|edges| ends.iter().all(|end| end.is_some_and(|khz| edges.contains(khz))));
    if !fits {
        return Err(place.error(column, "the numbers lie outside the edges"));
    }
    if step.is_some_and(|step| !(channels.last - channels.first).is_multiple_of(step)) {
        return Err(place.error(column, "first and last are no whole number of steps apart"));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_ends_of_the_global_raster() {
        assert_eq!(khz_of(0), Some(0));
        assert_eq!(khz_of(599_999), Some(2_999_995));
        assert_eq!(khz_of(600_000), Some(3_000_000));
        assert_eq!(khz_of(2_016_666), Some(24_249_990));
        assert_eq!(khz_of(2_016_667), Some(24_250_080));
        assert_eq!(khz_of(LAST), Some(99_999_960));
        assert_eq!(khz_of(LAST + 1), None);
    }

    #[test]
    fn n78_lies_within_n77() {
        let bands: Vec<_> = nr_bands_of_arfcn(632_628).iter().map(|b| b.number).collect();
        assert_eq!(bands, [77, 78]);
        assert!(nr_band(78).unwrap().on_raster(632_628));
    }

    proptest! {
        #[test]
        fn every_number_round_trips(n in 0..=LAST) {
            prop_assert_eq!(arfcn_of(khz_of(n).unwrap()), Some(n));
        }
    }
}
