//! Levels, qualities and bands as every rule of the layer asks for them.

use crate::case::{Evidence, History, Observation, Quantity, Rat, Reading, RegistrationStatus};
use crate::reference::bands::{EutraBand, lte_band, lte_bands_overlapping};
use crate::reference::thresholds::{Reach, threshold};
use crate::rules::{Certainty, Consequence, Site};

/// What follows where no cell is found that serves.
pub(super) const NOT_FOUND: &[Consequence] = &[
    Consequence::Rule(&crate::rules::registration::searching::RULE),
    Consequence::Rule(&crate::rules::registration::idle::RULE),
    Consequence::Rule(&crate::rules::registration::emergency::RULE),
    Consequence::Rule(&crate::rules::bearer::inactive::RULE),
];

/// Levels, the most exact first, with their thresholds and names.
pub(super) const LEVELS: [(Quantity, &str, &str); 4] = [
    (Quantity::Rsrp, "rsrp", "RSRP, the level of the cell's reference signal"),
    (Quantity::Rscp, "rscp", "RSCP, the level of the cell's pilot"),
    (Quantity::Rxlev, "rxlev", "received level"),
    (Quantity::Rssi, "rssi", "RSSI, all power on the channel"),
];

/// Qualities, the most telling first, with their thresholds and names.
pub(super) const QUALITIES: [(Quantity, &str, &str); 3] = [
    (Quantity::Sinr, "sinr", "SINR, signal over interference and noise"),
    (Quantity::Rsrq, "rsrq", "RSRQ, quality of the reference signal"),
    (Quantity::EcNo, "ecno", "Ec/No, quality of the pilot"),
];

/// The most exact level that was measured, judged.
pub(super) fn strength(site: &Site<'_>) -> Option<(Reach, Evidence)> {
    LEVELS.iter().find_map(|row| judged(site, row, "dBm"))
}

/// The most telling quality that was measured, judged; two that are poor make a fault the likely one.
pub(super) fn quality(site: &Site<'_>) -> Option<(Reach, Evidence)> {
    let mut all = QUALITIES.iter().filter_map(|row| judged(site, row, "dB"));
    let (reach, evidence) = all.next()?;
    let poor_too = reach == Reach::Possible && all.any(|(other, _)| other > Reach::Clear);
    Some((if poor_too { Reach::Likely } else { reach }, evidence))
}

/// Whether both measures of LTE's quality, SINR and RSRQ, fit a fault.
pub(super) fn qualities_agree(site: &Site<'_>) -> bool {
    let poor = |row| judged(site, row, "dB").is_some_and(|(reach, _)| reach != Reach::Clear);
    poor(&QUALITIES[0]) && poor(&QUALITIES[1])
}

/// Whether the last samples of a level are all as low: so many that it is no moment's dip.
pub(super) fn stays_low(site: &Site<'_>) -> bool {
    const SAMPLES: usize = 3;
    LEVELS.iter().any(|(quantity, name, _)| {
        let Some(limit) = threshold(name) else { return false };
        let last: Vec<_> = site.levels(*quantity).take(SAMPLES).collect();
        last.len() == SAMPLES
            && last.iter().all(|(value, _)| value.is_some_and(|v| limit.judge(v) != Reach::Clear))
    })
}

pub(super) fn judged(
    site: &Site<'_>,
    (quantity, name, words): &(Quantity, &str, &str),
    unit: &str,
) -> Option<(Reach, Evidence)> {
    let (Some(value), o) = site.level(*quantity)? else { return None };
    Some((threshold(name)?.judge(value), o.says(in_words(words, value, unit))))
}

/// A level with its name before it.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a value that does not come back is told apart"
)]
pub(super) fn in_words(name: &str, value: f64, unit: &str) -> String {
    const TENTHS: [&str; 10] = ["", ".1", ".2", ".3", ".4", ".5", ".6", ".7", ".8", ".9"];
    // Nearly every level has tenths at most, which are printed in a fraction of the time.
    let tenths = (value * 10.0) as i32;
    if f64::from(tenths) / 10.0 != value {
        return format!("{name}: {value} {unit}");
    }
    let sign = if tenths < 0 { "-" } else { "" };
    let whole = (tenths / 10).unsigned_abs().to_string();
    let behind = TENTHS[(tenths % 10).unsigned_abs() as usize];
    [name, ": ", sign, &whole, behind, " ", unit].concat()
}

/// How sure a fault is that a value shows; `None` for no fault.
pub(super) const fn certainty(reach: Reach) -> Option<Certainty> {
    match reach {
        Reach::Clear => None,
        Reach::Possible => Some(Certainty::Possible),
        Reach::Likely => Some(Certainty::Likely),
    }
}

/// What shows that some cell was heard: a level, a refusal or its cause, a network in a search.
pub(super) fn heard(site: &Site<'_>) -> Option<Evidence> {
    let level = LEVELS.iter().find_map(|(quantity, _, name)| match site.level(*quantity)? {
        (Some(value), o) => Some(o.says(in_words(name, value, "dBm"))),
        (None, _) => None,
    });
    let found = || {
        site.registration
            .scans
            .latest()
            .filter(|o| !o.value.is_empty())
            .map(|o| o.says("networks were found"))
    };
    let refused = || match site.registration_status() {
        Some((RegistrationStatus::Denied | RegistrationStatus::Registered, evidence)) => {
            Some(evidence)
        }
        _ => None,
    };
    // A modem that goes on searching after a refusal has no level meanwhile.
    let named = || {
        let cause = site.registration.rejects.current().iter().rev().find(|o| !o.value.history)?;
        Some(cause.says("the network refused the modem, so it was heard"))
    };
    level.or_else(found).or_else(refused).or_else(named)
}

/// The latest reading of a level that had no value, with its place in the order.
pub(super) fn nothing_measured<'a>(site: &Site<'a>) -> Option<(usize, &'a Observation<Reading>)> {
    let case = site.case;
    LEVELS
        .iter()
        .filter_map(|(quantity, _, _)| case.level(*quantity))
        .filter(|(value, _)| value.is_none())
        .map(|(_, o)| (o.order, o))
        .max_by_key(|(order, _)| *order)
}

pub(super) type Bands = (Rat, Vec<u16>, Evidence);

/// The latest band list.
pub(super) fn bands(history: &History<(Rat, Vec<u16>)>) -> Option<Bands> {
    history
        .all()
        .iter()
        .rev()
        .find(|o| matches!(o.value.0, Rat::Lte | Rat::LteM | Rat::NbIot))
        .map(listed)
}

/// The latest band list of a technology.
pub(super) fn bands_of(history: &History<(Rat, Vec<u16>)>, rat: Rat) -> Option<Bands> {
    history.all().iter().rev().find(|o| o.value.0 == rat).map(listed)
}

/// The bands that the network uses: those of the carrier's profile, or those that a person tells, with
/// the words that tell them.
pub(super) fn wanted(site: &Site<'_>, rat: Rat) -> Option<(Vec<u16>, Option<Evidence>)> {
    if let Some(carrier) = site.carrier {
        return Some((carrier.bands.of(rat).to_vec(), None)).filter(|(bands, _)| !bands.is_empty());
    }
    if let Some(told) = site.radio.network_bands.latest() {
        let words = told.says("a person's word for the network's bands");
        return Some((told.value.clone(), Some(words)));
    }
    let heard = site.radio.heard_bands.latest().filter(|_| rat == Rat::Lte)?;
    Some((heard.value.clone(), Some(heard.says("bands on which cells are heard here"))))
}

pub(super) fn listed(o: &Observation<(Rat, Vec<u16>)>) -> Bands {
    let numbers: Vec<_> = o.value.1.iter().map(u16::to_string).collect();
    (
        o.value.0,
        o.value.1.clone(),
        o.says(format!("{} bands {}", o.value.0.name(), numbers.join(", "))),
    )
}

/// Whether a modem with a band can use a cell on one of `wanted`: the band itself, or one whose downlink shares spectrum
/// with it at the same distance from the uplink (TS 36.101 table 5.5-1; a cell may announce several such bands).
pub(super) fn reaches(rat: Rat, band: u16, wanted: &[u16]) -> bool {
    let spacing = |band: &EutraBand| {
        band.uplink.map(|uplink| i64::from(band.downlink.low_khz) - i64::from(uplink.low_khz))
    };
    let own = lte_band(band).and_then(spacing);
    wanted.contains(&band)
        || matches!(rat, Rat::Lte | Rat::LteM | Rat::NbIot)
            && lte_bands_overlapping(band)
                .iter()
                .any(|b| wanted.contains(&b.number) && spacing(b) == own)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_band_reaches_those_with_its_duplex_distance() {
        for (band, wanted, reached) in
            [(4, 66, true), (12, 17, true), (4, 1, false), (14, 28, false)]
        {
            assert_eq!(reaches(Rat::Lte, band, &[wanted]), reached, "{band} and {wanted}");
        }
    }

    proptest! {
        #[test]
        fn a_level_is_printed_as_the_library_prints_it(tenths in -3000i32..3000, fine in -300.0..300.0) {
            for value in [f64::from(tenths) / 10.0, fine] {
                prop_assert_eq!(in_words("level", value, "dBm"), format!("level: {value} dBm"));
            }
        }
    }
}
