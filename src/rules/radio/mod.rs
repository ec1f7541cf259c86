//! The radio layer: whether a cell is heard, well enough, on allowed bands and technologies.

mod antenna;
mod band_missing;
mod band_off;
mod no_signal;
mod poor_quality;
mod technology;
mod weak;

use super::Site;
use super::standing::{Standing, standing};
use crate::case::{Evidence, History, Observation, Reading};
use crate::reference::bands::lte_bands_overlapping;
use crate::reply::{Quantity, Rat};

use super::Rule;

pub(super) static RULES: &[&Rule] = &[
    &no_signal::RULE,
    &weak::RULE,
    &poor_quality::RULE,
    &antenna::RULE,
    &band_off::RULE,
    &band_missing::RULE,
    &technology::RULE,
];

/// How strong the wanted signal is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Strength {
    /// Too little to hold a link reliably.
    Faint,
    /// Enough.
    Enough,
}

/// Levels at or below which a link hardly holds, dBm; ranges of judgement, common practice, no source.
const FAINT: [(Quantity, f64, &str); 4] = [
    (Quantity::Rsrp, -118.0, "RSRP, the level of the cell's reference signal"),
    (Quantity::Rscp, -110.0, "RSCP, the level of the cell's pilot"),
    (Quantity::Rxlev, -106.0, "received level"),
    (Quantity::Rssi, -109.0, "RSSI, all power on the channel"),
];

/// Values at or below which quality is poor, dB; common practice, no source.
const POOR: [(Quantity, f64, &str); 3] = [
    (Quantity::Sinr, -3.0, "SINR, signal over interference and noise"),
    (Quantity::Rsrq, -17.0, "RSRQ, quality of the reference signal"),
    (Quantity::EcNo, -16.0, "Ec/No, quality of the pilot"),
];

/// The most exact level that was measured, judged.
fn strength(site: &Site<'_>) -> Option<(Strength, Evidence)> {
    FAINT.iter().find_map(|(quantity, faint, name)| {
        let (Some(value), o) = site.level(*quantity)? else { return None };
        let strength = if value <= *faint { Strength::Faint } else { Strength::Enough };
        Some((strength, o.says(format!("{name}: {value} dBm"))))
    })
}

/// Whether the quality that was measured is poor.
fn quality(site: &Site<'_>) -> Option<(bool, Evidence)> {
    POOR.iter().find_map(|(quantity, poor, name)| {
        let (Some(value), o) = site.level(*quantity)? else { return None };
        Some((value <= *poor, o.says(format!("{name}: {value} dB"))))
    })
}

/// What shows that some cell was heard: a level, a refusal, a network in a search.
fn heard(site: &Site<'_>) -> Option<Evidence> {
    let level = FAINT.iter().find_map(|(quantity, _, name)| match site.level(*quantity)? {
        (Some(value), o) => Some(o.says(format!("{name}: {value} dBm"))),
        (None, _) => None,
    });
    let found = || {
        site.scans.latest().filter(|o| !o.value.is_empty()).map(|o| o.says("networks were found"))
    };
    let refused = || match standing(site) {
        Some((Standing::Denied | Standing::Registered, evidence)) => Some(evidence),
        _ => None,
    };
    level.or_else(found).or_else(refused)
}

/// The latest reading of a level that had no value, with its place in the order.
fn nothing_measured<'a>(site: &Site<'a>) -> Option<(usize, &'a Observation<Reading>)> {
    let case = site.case;
    FAINT
        .iter()
        .filter_map(|(quantity, _, _)| case.level(*quantity))
        .filter(|(value, _)| value.is_none())
        .map(|(_, o)| (o.order, o))
        .max_by_key(|(order, _)| *order)
}

type Bands = (Rat, Vec<u16>, Evidence);

/// The latest band list.
fn bands(history: &History<(Rat, Vec<u16>)>) -> Option<Bands> {
    history
        .all()
        .iter()
        .rev()
        .find(|o| matches!(o.value.0, Rat::Lte | Rat::LteM | Rat::NbIot))
        .map(listed)
}

/// The latest band list of a technology.
fn bands_of(history: &History<(Rat, Vec<u16>)>, rat: Rat) -> Option<Bands> {
    history.all().iter().rev().find(|o| o.value.0 == rat).map(listed)
}

fn listed(o: &Observation<(Rat, Vec<u16>)>) -> Bands {
    let numbers: Vec<_> = o.value.1.iter().map(u16::to_string).collect();
    (
        o.value.0,
        o.value.1.clone(),
        o.says(format!("{} bands {}", o.value.0.name(), numbers.join(", "))),
    )
}

/// Whether a modem with a band can hear a cell on one of `wanted`: the band itself, or one whose
/// downlink shares spectrum with it (TS 36.101 table 5.5-1; a cell may announce several bands).
fn reaches(rat: Rat, band: u16, wanted: &[u16]) -> bool {
    wanted.contains(&band)
        || matches!(rat, Rat::Lte | Rat::LteM | Rat::NbIot)
            && lte_bands_overlapping(band).iter().any(|b| wanted.contains(&b.number))
}
