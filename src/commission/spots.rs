//! Criteria that samples settle, spot by spot: registration first, then levels, time and number of samples.
//!
//! Everything that the modem used at a spot while it was registered is judged, whatever the cell.

use super::criteria::{Criteria, Level};
use super::judge::{Figure, Measured, Outcome, measured};
use crate::case::{Case, Quantity};
use crate::statistics::{Interval, difference, percentile};
use crate::survey::analysis::Analysis;
use crate::survey::spot::{CellSeries, Spot};
use std::collections::BTreeSet;

/// What must be registered where the criteria do not say, percent.
const REGISTERED_PERCENT: f64 = 100.0;

/// The spots that are judged, those that the criteria name without samples as names alone.
pub(super) fn judged<'a>(
    criteria: &'a Criteria,
    analysis: &'a Analysis,
) -> Vec<(&'a str, Option<&'a Spot>)> {
    if let Some(names) = &criteria.spots {
        names.iter().map(|name| (name.as_str(), analysis.named(name))).collect()
    } else {
        let named: Vec<_> = analysis
            .spots
            .iter()
            .filter(|s| !s.name.is_empty())
            .map(|s| (s.name.as_str(), Some(s)))
            .collect();
        if named.is_empty() {
            return analysis.spots.iter().map(|s| (s.name.as_str(), Some(s))).collect();
        }
        named
    }
}

/// Holds every judged spot against the criteria.
pub(super) fn all(criteria: &Criteria, analysis: &Analysis) -> Vec<Measured> {
    let spots = judged(criteria, analysis);
    if spots.is_empty() {
        // Nothing was measured: the same criteria, of no spot.
        return spot(criteria, "", None);
    }
    spots.into_iter().flat_map(|(name, found)| spot(criteria, name, found)).collect()
}

fn spot(criteria: &Criteria, name: &str, found: Option<&Spot>) -> Vec<Measured> {
    let mut out: Vec<Measured> = registered(criteria, found).into_iter().collect();
    out.extend(criteria.level.iter().map(|wanted| level(wanted, found)));
    if let Some(wanted) = criteria.hold_seconds {
        let watched_s = found.map_or(0.0, |s| s.watched_s);
        out.push(measured(
            "time over which the levels were watched",
            format!("{wanted} s or more"),
            format!("{watched_s:.0} s"),
            Outcome::once(watched_s >= wanted),
        ));
    }
    if let Some(wanted) = criteria.samples {
        let samples = found.map_or(0, |s| s.samples);
        out.push(measured(
            "samples",
            format!("{wanted} or more"),
            samples.to_string(),
            Outcome::once(samples >= wanted),
        ));
    }
    if criteria.roaming == Some(false) && found.is_some_and(|s| s.roaming > 0) {
        let roaming = found.map_or(0, |s| s.roaming);
        out.push(measured(
            "no roaming in the samples",
            "none".into(),
            format!("{roaming} samples roaming"),
            Outcome::Failed,
        ));
    }
    for result in &mut out {
        name.clone_into(&mut result.spot);
    }
    out
}

fn registered(criteria: &Criteria, found: Option<&Spot>) -> Option<Measured> {
    let wanted = criteria.registered_percent.unwrap_or(REGISTERED_PERCENT);
    let share = found.and_then(Spot::registered_percent);
    let (said, outcome) = match (found, share) {
        (None, _) => ("nothing measured".into(), Outcome::Incomplete),
        // A modem that never reports its state is only held against it where that is asked for.
        (Some(_), None) if criteria.registered_percent.is_none() => return None,
        (Some(_), None) => ("not read".into(), Outcome::Incomplete),
        (Some(spot), Some(share)) => (
            format!("{share:.1} %, {} samples without", spot.unregistered),
            if share >= wanted { Outcome::Passed } else { Outcome::Failed },
        ),
    };
    Some(measured("registered all the time", format!("{wanted} % of the samples"), said, outcome))
}

fn level(wanted: &Level, found: Option<&Spot>) -> Measured {
    let (name, unit) = wanted.of.words();
    let figure =
        found.and_then(|s| percentile(wanted.of.series(&s.used), wanted.percentile / 100.0));
    let (said, outcome) = against(figure, wanted.at_least, unit);
    let criterion = if wanted.percentile == 50.0 {
        format!("median of the {name}")
    } else {
        format!("{name} that {} % of the samples stay above", 100.0 - wanted.percentile)
    };
    let bounded = figure.and_then(|(value, bounds)| {
        let i = bounds?;
        Some(Figure { value, low: i.low, high: i.high, more_is_better: true })
    });
    let wish = format!("{} {unit} or more", wanted.at_least);
    Measured { figure: bounded, ..measured(&criterion, wish, said, outcome) }
}

/// Holds a percentile with its bounds against its mark.
fn against(figure: Option<(f64, Option<Interval>)>, wanted: f64, unit: &str) -> (String, Outcome) {
    match figure {
        None => ("not measured".into(), Outcome::Incomplete),
        Some((value, Some(i))) => {
            // Sure only where the whole interval lies on one side of the mark.
            let outcome = if i.low >= wanted {
                Outcome::Passed
            } else if i.high < wanted {
                Outcome::Failed
            } else {
                Outcome::Incomplete
            };
            (format!("{value:.1} {unit} (95 % bounds {:.1} to {:.1})", i.low, i.high), outcome)
        }
        Some((value, None)) => {
            (format!("{value:.1} {unit}, measured too shortly for bounds"), Outcome::Incomplete)
        }
    }
}

/// The bands that were used at the judged spots.
pub(super) fn bands(criteria: &Criteria, analysis: &Analysis) -> Option<Measured> {
    let permitted = criteria.bands.as_ref()?;
    let used: BTreeSet<u32> = judged(criteria, analysis)
        .into_iter()
        .filter_map(|(_, spot)| spot)
        .flat_map(|s| &s.cells)
        .filter_map(|c| c.cell.band)
        .collect();
    let used: Vec<u32> = used.into_iter().collect();
    let list = |b: &[u32]| b.iter().map(u32::to_string).collect::<Vec<_>>().join(", ");
    let outcome = match used.is_empty() {
        true => Outcome::Incomplete,
        false if used.iter().all(|b| permitted.contains(b)) => Outcome::Passed,
        false => Outcome::Failed,
    };
    let said = if used.is_empty() { "not read".into() } else { list(&used) };
    Some(measured("bands", format!("of {}", list(permitted)), said, outcome))
}

/// The cell whose receive branches are widest apart: its series, the best and the weakest branch.
fn widest<'a>(spots: &[&'a Spot]) -> Option<(&'a CellSeries, [(usize, f64); 2])> {
    let apart = |pair: &[(usize, f64); 2]| pair[0].1 - pair[1].1;
    spots
        .iter()
        .filter_map(|s| Some((&s.used, s.used.receive_branch_medians()?)))
        .max_by(|a, b| apart(&a.1).total_cmp(&apart(&b.1)))
}

/// The balance of the receive branches: from the samples of the spot where they are widest apart, else from the capture.
/// Branches without any level are not counted: a modem prints those that it does not have, too.
pub(super) fn branches(wanted: f64, spots: &[&Spot], case: Option<&Case>) -> Measured {
    let criterion = "balance of the receive branches";
    let wish = format!("within {wanted} dB");
    if let Some((cell, [best, weakest])) = widest(spots) {
        let ports = format!("ports {} and {}", best.0, weakest.0);
        let Some(d) = difference(&cell.receive_branches[best.0], &cell.receive_branches[weakest.0])
        else {
            let apart = best.1 - weakest.1;
            let said = format!("{apart:.1} dB apart, {ports}, measured too shortly for bounds");
            return measured(criterion, wish, said, Outcome::Incomplete);
        };
        let outcome = if d.high_db <= wanted {
            Outcome::Passed
        } else if d.low_db > wanted {
            Outcome::Failed
        } else {
            Outcome::Incomplete
        };
        let (apart, low, high) = (d.shift_db, d.low_db, d.high_db);
        let said = format!("{apart:.1} dB apart (95 % bounds {low:.1} to {high:.1}), {ports}");
        let figure = Some(Figure { value: apart, low, high, more_is_better: false });
        return Measured { figure, ..measured(criterion, wish, said, outcome) };
    }
    let levels: Vec<f64> = case.map_or_else(Vec::new, |c| {
        c.radio
            .antenna_ports
            .current()
            .iter()
            .filter_map(|o| (o.value.1 == Quantity::Rsrp).then_some(o.value.2).flatten())
            .collect()
    });
    let apart = levels.iter().copied().fold(f64::MIN, f64::max)
        - levels.iter().copied().fold(f64::MAX, f64::min);
    let (said, outcome) = match levels.len() {
        0 => ("not read".into(), Outcome::Incomplete),
        1 => ("one branch only has a level".into(), Outcome::Incomplete),
        _ if apart <= wanted => (format!("{apart:.1} dB apart"), Outcome::Passed),
        _ => (format!("{apart:.1} dB apart"), Outcome::Failed),
    };
    measured(criterion, wish, said, outcome)
}
