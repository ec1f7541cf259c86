//! Criteria from an editable file, and whether they are met: passed, failed, or incomplete.

use super::attach::{Begun, attach, restart};
use crate::case::Case;
use crate::reply::Quantity;
use crate::survey::analysis::{Analysis, CellSeries, Spot};
use crate::survey::statistics::{Interval, Series, difference, percentile};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// What must be met; what is left out is not asked for.
#[derive(Clone, Debug, Default, Deserialize, Serialize, PartialEq)]
#[serde(deny_unknown_fields, default)]
pub struct Criteria {
    /// What they are called.
    pub title: String,
    /// Percentiles of levels and ratios, and what each must reach.
    pub level: Vec<Level>,
    /// How long the levels must have been watched, s.
    pub hold_seconds: Option<f64>,
    /// Samples wanted.
    pub samples: Option<u64>,
    /// Share of samples that are registered, percent.
    pub registered_percent: Option<f64>,
    /// Whether roaming is permitted.
    pub roaming: Option<bool>,
    /// The access point name.
    pub access_point: Option<String>,
    /// Bands that are permitted.
    pub bands: Option<Vec<u32>>,
    /// Most that antenna branches may differ, dB.
    pub branch_difference_db: Option<f64>,
    /// Most that a fresh attach may take, s.
    pub reattach_seconds: Option<f64>,
    /// Most that a restart may take until data is registered again, s.
    pub restart_seconds: Option<f64>,
}

/// One percentile and the mark that it must reach.
#[derive(Clone, Debug, Deserialize, Serialize, PartialEq)]
#[serde(deny_unknown_fields)]
pub struct Level {
    /// What is measured.
    pub of: Measure,
    /// The percentile: so many samples of a hundred may lie below the mark; 50 is the median.
    pub percentile: f64,
    /// The mark, dBm or dB.
    pub at_least: f64,
}

/// What a level criterion is about.
#[derive(Clone, Copy, Debug, Deserialize, Serialize, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum Measure {
    /// Level of the reference signal, dBm.
    Rsrp,
    /// Quality of the reference signal, dB.
    Rsrq,
    /// Signal over interference and noise, dB.
    Sinr,
    /// Received power over the whole channel, dBm.
    Rssi,
}

impl Measure {
    const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Rsrp => ("level (RSRP)", "dBm"),
            Self::Rsrq => ("quality (RSRQ)", "dB"),
            Self::Sinr => ("signal over noise (SINR)", "dB"),
            Self::Rssi => ("received power (RSSI)", "dBm"),
        }
    }

    const fn series(self, cell: &CellSeries) -> &Series {
        match self {
            Self::Rsrp => &cell.rsrp,
            Self::Rsrq => &cell.rsrq,
            Self::Sinr => &cell.sinr,
            Self::Rssi => &cell.rssi,
        }
    }
}

impl Criteria {
    /// The shipped criteria: common practice, no source.
    pub fn shipped() -> Self {
        let level = |of, percentile, at_least| Level { of, percentile, at_least };
        Self {
            title: "Site acceptance (shipped defaults: common practice, no source)".into(),
            level: vec![level(Measure::Rsrp, 10.0, -110.0), level(Measure::Sinr, 50.0, 3.0)],
            hold_seconds: Some(120.0),
            samples: Some(40),
            registered_percent: Some(100.0),
            branch_difference_db: Some(10.0),
            ..Self::default()
        }
    }

    /// Reads criteria from their text.
    ///
    /// # Errors
    ///
    /// What is wrong, with the line where the form is wrong.
    pub fn parse(text: &str) -> Result<Self, String> {
        let criteria: Self = toml::from_str(text).map_err(|e| e.to_string())?;
        match criteria.level.iter().find(|l| !(l.percentile > 0.0 && l.percentile < 100.0)) {
            Some(l) => {
                Err(format!("a percentile lies between 0 and 100, and {} does not", l.percentile))
            }
            None => Ok(criteria),
        }
    }

    /// Whether the samples so far leave nothing open that more samples would settle; a quantity
    /// without a value after `tells_within` samples will not come.
    pub(super) fn settled_by(&self, analysis: &Analysis, tells_within: u64) -> bool {
        let main = main_cell(analysis);
        let comes = |of: Measure| {
            analysis.samples < tells_within || main.is_some_and(|c| of.series(c).count() > 0)
        };
        let told = levels(self, analysis).into_iter().zip(&self.level).filter(|(_, l)| comes(l.of));
        [held(self, analysis), counted(self, analysis)]
            .into_iter()
            .flatten()
            .chain(told.map(|(m, _)| m))
            .all(|m| m.outcome != Outcome::Incomplete)
    }
}

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
    /// Whether it is met.
    pub outcome: Outcome,
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
    Measured { criterion: criterion.into(), wanted, measured, outcome }
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
        measured(&criterion, format!("{} {unit} or more", level.at_least), said, outcome)
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
        if enough { Outcome::Passed } else { Outcome::Incomplete },
    ))
}

fn counted(criteria: &Criteria, analysis: &Analysis) -> Option<Measured> {
    let wanted = criteria.samples?;
    let enough = analysis.samples >= wanted;
    Some(measured(
        "samples",
        format!("{wanted} or more"),
        analysis.samples.to_string(),
        if enough { Outcome::Passed } else { Outcome::Incomplete },
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
    let stored = case
        .and_then(|c| c.contexts.values().find_map(|h| h.latest()).map(|o| o.value.apn.clone()));
    let (said, outcome) = match stored {
        None => ("not read".into(), Outcome::Incomplete),
        Some(name) => {
            let difference = crate::carrier::access_point_name::difference(&name, wanted);
            let outcome = if difference.is_none() { Outcome::Passed } else { Outcome::Failed };
            (difference.map_or_else(|| name.clone(), |d| format!("{name} ({d})")), outcome)
        }
    };
    measured("access point name", wanted.into(), said, outcome)
}

fn address(case: Option<&Case>) -> Measured {
    let there = case.is_some_and(|c| {
        c.addresses.values().filter_map(|h| h.latest()).any(|o| !o.value.is_empty())
    });
    let outcome = match case {
        _ if there => Outcome::Passed,
        Some(c) if !c.addresses.is_empty() => Outcome::Failed,
        _ => Outcome::Incomplete,
    };
    let said = if there { "there" } else { "none read" };
    measured("an address", "any".into(), said.into(), outcome)
}

fn home(case: Option<&Case>) -> Measured {
    let states: Vec<u8> = case.map_or_else(Vec::new, |c| {
        c.registration.values().filter_map(|h| h.latest()).map(|o| o.value.stat).collect()
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
        main_cell(analysis).and_then(|c| Some((c, c.branch_medians()?)))
    {
        let ports = format!("ports {} and {}", best.0, weakest.0);
        let Some(d) = difference(&cell.branches[best.0], &cell.branches[weakest.0]) else {
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
        return measured(criterion, wish, said, outcome);
    }
    let levels: Vec<f64> = case.map_or_else(Vec::new, |c| {
        c.ports
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
    let (said, outcome) = match seen {
        None | Some(Begun::NotSeen) => {
            ("none with times in the dialogue".into(), Outcome::Incomplete)
        }
        Some(Begun::Never) => ("not registered within the dialogue".into(), Outcome::Failed),
        Some(Begun::After(seconds)) => (
            format!("{seconds:.1} s"),
            if seconds <= wanted { Outcome::Passed } else { Outcome::Failed },
        ),
    };
    measured(criterion, format!("within {wanted} s"), said, outcome)
}
