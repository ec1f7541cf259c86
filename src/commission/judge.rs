//! Whether criteria are met: passed, failed, or incomplete, with the measured figures.

use super::attach::{Begun, attach, restart};
use super::criteria::{Criteria, Level, Measure};
use crate::case::Case;
use crate::case::Quantity;
use crate::statistics::{Interval, difference, percentile};
use crate::survey::analysis::Analysis;
use crate::survey::spot::{CellSeries, Spot};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// Whether a criterion is met.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Outcome {
    /// Met.
    Passed,
    /// Not met.
    Failed,
    /// Not enough was measured to tell.
    Incomplete,
}

impl Outcome {
    /// Of what more samples would bring.
    const fn once(enough: bool) -> Self {
        if enough { Self::Passed } else { Self::Incomplete }
    }

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Passed => "passed",
            Self::Failed => "failed",
            Self::Incomplete => "incomplete",
        }
    }
}

/// One criterion with its outcome.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Measured {
    /// What was asked.
    pub criterion: String,
    /// What was wanted.
    pub wanted: String,
    /// What was measured, with its interval.
    pub measured: String,
    /// The measured figure, where it is a number.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub figure: Option<Figure>,
    /// Whether it is met.
    pub outcome: Outcome,
}

/// A measured number with its 95 % bounds; both are the number itself where it was measured once.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Figure {
    /// The number, in the unit of the criterion.
    pub value: f64,
    /// Its lower bound.
    pub low: f64,
    /// Its upper bound.
    pub high: f64,
    /// Whether more is better.
    pub more_is_better: bool,
}

/// Whether the samples so far leave nothing open that more samples would settle; a quantity
/// without a value after `tells_within` samples will not come.
pub(super) fn settled_by(criteria: &Criteria, analysis: &Analysis, tells_within: u64) -> bool {
    let main = main_cell(analysis);
    let comes = |of: Measure| {
        analysis.samples < tells_within || main.is_some_and(|c| of.series(c).count() > 0)
    };
    let told =
        levels(criteria, analysis).into_iter().zip(&criteria.level).filter(|(_, l)| comes(l.of));
    [held(criteria, analysis), counted(criteria, analysis)]
        .into_iter()
        .flatten()
        .chain(told.map(|(m, _)| m))
        .all(|m| m.outcome != Outcome::Incomplete)
}

/// Holds samples and a capture against the criteria.
pub fn judge(criteria: &Criteria, analysis: &Analysis, case: Option<&Case>) -> Vec<Measured> {
    let mut out = levels(criteria, analysis);
    out.extend(held(criteria, analysis));
    out.extend(counted(criteria, analysis));
    out.extend(registered(criteria, analysis));
    out.extend(bands(criteria, analysis));
    if let Some(wanted) = &criteria.access_point {
        out.push(access_point(wanted, case));
        out.push(address(case));
    }
    if criteria.roaming == Some(false) {
        out.push(home(case));
    }
    if let Some(wanted) = criteria.branch_difference_db {
        out.push(branches(wanted, analysis, case));
    }
    if let Some(wanted) = criteria.reattach_seconds {
        out.push(begun("fresh attach, until registered for data", wanted, case.map(attach)));
    }
    if let Some(wanted) = criteria.restart_seconds {
        out.push(begun("restart, until registered for data", wanted, case.map(restart)));
    }
    out
}

fn measured(criterion: &str, wanted: String, measured: String, outcome: Outcome) -> Measured {
    Measured { criterion: criterion.into(), wanted, measured, figure: None, outcome }
}

/// The cell with the most samples.
fn main_cell(analysis: &Analysis) -> Option<&CellSeries> {
    analysis.spots.iter().filter_map(Spot::main).max_by_key(|c| c.rsrp.count())
}

/// The level criteria, on the cell with the most samples.
fn levels(criteria: &Criteria, analysis: &Analysis) -> Vec<Measured> {
    let main = main_cell(analysis);
    let held = |level: &Level| {
        let (name, unit) = level.of.words();
        let figure =
            main.and_then(|cell| percentile(level.of.series(cell), level.percentile / 100.0));
        let (said, outcome) = against(figure, level.at_least, unit);
        let criterion = if level.percentile == 50.0 {
            format!("median of the {name}")
        } else {
            format!("{name} that {} % of the samples stay above", 100.0 - level.percentile)
        };
        let bounded = figure.and_then(|(value, bounds)| {
            let i = bounds?;
            Some(Figure { value, low: i.low, high: i.high, more_is_better: true })
        });
        let wish = format!("{} {unit} or more", level.at_least);
        Measured { figure: bounded, ..measured(&criterion, wish, said, outcome) }
    };
    criteria.level.iter().map(held).collect()
}

fn held(criteria: &Criteria, analysis: &Analysis) -> Option<Measured> {
    let wanted = criteria.hold_seconds?;
    let enough = analysis.watched_s >= wanted;
    Some(measured(
        "time over which the levels were watched",
        format!("{wanted} s or more"),
        format!("{:.0} s", analysis.watched_s),
        Outcome::once(enough),
    ))
}

fn counted(criteria: &Criteria, analysis: &Analysis) -> Option<Measured> {
    let wanted = criteria.samples?;
    let enough = analysis.samples >= wanted;
    Some(measured(
        "samples",
        format!("{wanted} or more"),
        analysis.samples.to_string(),
        Outcome::once(enough),
    ))
}

fn registered(criteria: &Criteria, analysis: &Analysis) -> Option<Measured> {
    let wanted = criteria.registered_percent?;
    let lost: u64 = analysis.spots.iter().map(|s| s.unregistered).sum();
    let (said, outcome) = if analysis.samples == 0 {
        ("nothing measured".into(), Outcome::Incomplete)
    } else {
        let share = 100.0 * (analysis.samples - lost) as f64 / analysis.samples as f64;
        (
            format!("{share:.1} %, {lost} samples without"),
            if share >= wanted { Outcome::Passed } else { Outcome::Failed },
        )
    };
    Some(measured("registered all the time", format!("{wanted} % of the samples"), said, outcome))
}

fn bands(criteria: &Criteria, analysis: &Analysis) -> Option<Measured> {
    let permitted = criteria.bands.as_ref()?;
    let used: BTreeSet<u32> =
        analysis.spots.iter().flat_map(|s| &s.cells).filter_map(|c| c.cell.band).collect();
    let used: Vec<u32> = used.into_iter().collect();
    let list = |b: &[u32]| b.iter().map(u32::to_string).collect::<Vec<_>>().join(", ");
    let outcome = match used.is_empty() {
        true => Outcome::Incomplete,
        false if used.iter().all(|b| permitted.contains(b)) => Outcome::Passed,
        false => Outcome::Failed,
    };
    let said = if used.is_empty() { "not told".into() } else { list(&used) };
    Some(measured("bands", format!("of {}", list(permitted)), said, outcome))
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
            (format!("{value:.1} {unit}, too few samples for bounds"), Outcome::Incomplete)
        }
    }
}

fn access_point(wanted: &str, case: Option<&Case>) -> Measured {
    let stored = case.and_then(|c| {
        c.sessions.contexts.values().find_map(|h| h.latest()).map(|o| o.value.apn.clone())
    });
    let (said, outcome) = match stored {
        None => ("not read".into(), Outcome::Incomplete),
        Some(name) => {
            let difference = crate::carrier::access_point_name::difference(&name, wanted);
            let outcome = if difference.is_none() { Outcome::Passed } else { Outcome::Failed };
            (difference.map_or_else(|| name.to_string(), |d| format!("{name} ({d})")), outcome)
        }
    };
    measured("access point name", wanted.into(), said, outcome)
}

fn address(case: Option<&Case>) -> Measured {
    let there = case.is_some_and(|c| {
        c.sessions.addresses.values().filter_map(|h| h.latest()).any(|o| !o.value.is_empty())
    });
    let outcome = match case {
        _ if there => Outcome::Passed,
        Some(c) if !c.sessions.addresses.is_empty() => Outcome::Failed,
        _ => Outcome::Incomplete,
    };
    let said = if there { "there" } else { "none read" };
    measured("an address", "any".into(), said.into(), outcome)
}

fn home(case: Option<&Case>) -> Measured {
    let states: Vec<u8> = case.map_or_else(Vec::new, |c| {
        c.registration.states.values().filter_map(|h| h.latest()).map(|o| o.value.stat).collect()
    });
    let (said, outcome) = match (states.contains(&5), states.contains(&1)) {
        (true, _) => ("registered, roaming", Outcome::Failed),
        (false, true) => ("registered at home", Outcome::Passed),
        (false, false) if states.is_empty() => ("not read", Outcome::Incomplete),
        (false, false) => ("not registered", Outcome::Incomplete),
    };
    measured("home network", "no roaming".into(), said.into(), outcome)
}

/// The balance of the branches: from the samples where they tell it, else from the capture.
/// Branches without any level are not counted: a modem prints those that it does not have, too.
fn branches(wanted: f64, analysis: &Analysis, case: Option<&Case>) -> Measured {
    let criterion = "balance of the antenna branches";
    let wish = format!("within {wanted} dB");
    if let Some((cell, [best, weakest])) =
        main_cell(analysis).and_then(|c| Some((c, c.receive_branch_medians()?)))
    {
        let ports = format!("ports {} and {}", best.0, weakest.0);
        let Some(d) = difference(&cell.receive_branches[best.0], &cell.receive_branches[weakest.0])
        else {
            let apart = best.1 - weakest.1;
            let said = format!("{apart:.1} dB apart, {ports}, too few samples for bounds");
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
        1 => ("one branch only told a level".into(), Outcome::Incomplete),
        _ if apart <= wanted => (format!("{apart:.1} dB apart"), Outcome::Passed),
        _ => (format!("{apart:.1} dB apart"), Outcome::Failed),
    };
    measured(criterion, wish, said, outcome)
}

fn begun(criterion: &str, wanted: f64, seen: Option<Begun>) -> Measured {
    let wish = format!("within {wanted} s");
    match seen {
        None | Some(Begun::NotSeen) => {
            measured(criterion, wish, "none with times in the dialogue".into(), Outcome::Incomplete)
        }
        Some(Begun::Never) => {
            measured(criterion, wish, "not registered within the dialogue".into(), Outcome::Failed)
        }
        Some(Begun::After(seconds)) => {
            let outcome = if seconds <= wanted { Outcome::Passed } else { Outcome::Failed };
            let once =
                Figure { value: seconds, low: seconds, high: seconds, more_is_better: false };
            let said = format!("{seconds:.1} s");
            Measured { figure: Some(once), ..measured(criterion, wish, said, outcome) }
        }
    }
}
