//! Criteria from an editable file, and whether they are met: passed, failed, or incomplete.

use super::attach::{Attach, attach};
use crate::case::Case;
use crate::reply::Quantity;
use crate::rules::{Judgement, Site as RuleSite};
use crate::survey::analysis::Analysis;
use crate::survey::statistics::{Interval, Spread, spread};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;

/// What must be met; what is left out is not asked for.
#[derive(Clone, Debug, Default, Deserialize, Serialize, PartialEq)]
#[serde(deny_unknown_fields, default)]
pub struct Criteria {
    /// What they are called.
    pub title: String,
    /// Level that nine tenths of the samples stay above, dBm.
    pub rsrp_p10_dbm: Option<f64>,
    /// Median ratio of signal to noise, dB.
    pub sinr_median_db: Option<f64>,
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
}

impl Criteria {
    /// The shipped criteria: common practice, no source.
    pub fn shipped() -> Self {
        Self {
            title: "Site acceptance (shipped defaults: common practice, no source)".into(),
            rsrp_p10_dbm: Some(-110.0),
            sinr_median_db: Some(3.0),
            samples: Some(40),
            registered_percent: Some(100.0),
            roaming: None,
            access_point: None,
            bands: None,
            branch_difference_db: Some(10.0),
            reattach_seconds: None,
        }
    }

    /// Reads criteria from their text.
    ///
    /// # Errors
    ///
    /// What is wrong, with the line.
    pub fn parse(text: &str) -> Result<Self, String> {
        toml::from_str(text).map_err(|e| e.to_string())
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
    let mut out = Vec::new();
    let mut say = |criterion: &str, wanted: String, measured: String, outcome| {
        out.push(Measured { criterion: criterion.into(), wanted, measured, outcome });
    };
    let main = analysis.spots.iter().filter_map(|s| s.main()).max_by_key(|c| c.rsrp.count());
    let level = main.and_then(super::super::survey::analysis::CellSeries::level);
    if let Some(wanted) = criteria.rsrp_p10_dbm {
        let (measured, outcome) =
            against(level.as_ref(), wanted, |l| (l.p10, l.p10_interval), "dBm");
        say(
            "level that nine tenths of the samples stay above (RSRP p10)",
            format!("{wanted} dBm or more"),
            measured,
            outcome,
        );
    }
    if let Some(wanted) = criteria.sinr_median_db {
        let ratio = main.and_then(|m| spread(&m.sinr));
        let (measured, outcome) =
            against(ratio.as_ref(), wanted, |l| (l.median, l.median_interval), "dB");
        say(
            "median of signal over noise (SINR)",
            format!("{wanted} dB or more"),
            measured,
            outcome,
        );
    }
    if let Some(wanted) = criteria.samples {
        let outcome =
            if analysis.samples >= wanted { Outcome::Passed } else { Outcome::Incomplete };
        say("samples", format!("{wanted} or more"), analysis.samples.to_string(), outcome);
    }
    if let Some(wanted) = criteria.registered_percent {
        let lost: u64 = analysis.spots.iter().map(|s| s.unregistered).sum();
        let (measured, outcome) = if analysis.samples == 0 {
            ("nothing measured".into(), Outcome::Incomplete)
        } else {
            let share = 100.0 * (analysis.samples - lost) as f64 / analysis.samples as f64;
            (
                format!("{share:.1} %, {lost} samples without"),
                if share >= wanted { Outcome::Passed } else { Outcome::Failed },
            )
        };
        say("registered all the time", format!("{wanted} % of the samples"), measured, outcome);
    }
    if let Some(bands) = &criteria.bands {
        let used: BTreeSet<u32> =
            analysis.spots.iter().flat_map(|s| &s.cells).filter_map(|c| c.cell.band).collect();
        let used: Vec<u32> = used.into_iter().collect();
        let list = |b: &[u32]| b.iter().map(u32::to_string).collect::<Vec<_>>().join(", ");
        let outcome = match used.is_empty() {
            true => Outcome::Incomplete,
            false if used.iter().all(|b| bands.contains(b)) => Outcome::Passed,
            false => Outcome::Failed,
        };
        say(
            "bands",
            format!("of {}", list(bands)),
            if used.is_empty() { "not told".into() } else { list(&used) },
            outcome,
        );
    }
    from_capture(criteria, case, &mut say);
    if let Some(wanted) = criteria.reattach_seconds {
        let (measured, outcome) = match case.map(attach) {
            None | Some(Attach::NotSeen) => {
                ("no attach with times in the dialogue".into(), Outcome::Incomplete)
            }
            Some(Attach::Never) => ("not registered within the dialogue".into(), Outcome::Failed),
            Some(Attach::After(seconds)) => (
                format!("{seconds:.1} s"),
                if seconds <= wanted { Outcome::Passed } else { Outcome::Failed },
            ),
        };
        say(
            "fresh attach, until registered for data",
            format!("within {wanted} s"),
            measured,
            outcome,
        );
    }
    out
}

fn against(
    spread: Option<&Spread>,
    wanted: f64,
    figure: fn(&Spread) -> (f64, Option<Interval>),
    unit: &str,
) -> (String, Outcome) {
    let Some(spread) = spread else { return ("not measured".into(), Outcome::Incomplete) };
    match figure(spread) {
        (value, Some(i)) => {
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
        (value, None) => {
            (format!("{value:.1} {unit}, too few samples for bounds"), Outcome::Incomplete)
        }
    }
}

/// The criteria that a capture answers: address, roaming, access point, branches.
fn from_capture(
    criteria: &Criteria,
    case: Option<&Case>,
    say: &mut impl FnMut(&str, String, String, Outcome),
) {
    if let Some(wanted) = &criteria.access_point {
        let stored = case.and_then(|c| {
            c.contexts.values().find_map(|h| h.latest()).map(|o| o.value.apn.clone())
        });
        let (measured, outcome) = match stored {
            None => ("not read".into(), Outcome::Incomplete),
            Some(name) => {
                let difference = crate::carrier::access_point_name::difference(&name, wanted);
                let outcome = if difference.is_none() { Outcome::Passed } else { Outcome::Failed };
                (difference.map_or_else(|| name.clone(), |d| format!("{name} ({d})")), outcome)
            }
        };
        say("access point name", wanted.clone(), measured, outcome);
        let address = case.and_then(|c| {
            c.addresses.values().filter_map(|h| h.latest()).find(|o| !o.value.is_empty())
        });
        let outcome = match (address, case) {
            (Some(_), _) => Outcome::Passed,
            (None, Some(c)) if !c.addresses.is_empty() => Outcome::Failed,
            _ => Outcome::Incomplete,
        };
        say(
            "an address",
            "any".into(),
            address.map_or_else(|| "none read".into(), |_| "there".into()),
            outcome,
        );
    }
    if criteria.roaming == Some(false) {
        let states: Vec<u8> = case.map_or_else(Vec::new, |c| {
            c.registration.values().filter_map(|h| h.latest()).map(|o| o.value.stat).collect()
        });
        let outcome = match (states.contains(&5), states.contains(&1)) {
            (true, _) => Outcome::Failed,
            (false, true) => Outcome::Passed,
            _ => Outcome::Incomplete,
        };
        say(
            "home network",
            "no roaming".into(),
            if states.is_empty() { "not read".into() } else { format!("states {states:?}") },
            outcome,
        );
    }
    if let Some(wanted) = criteria.branch_difference_db {
        let judged = case
            .and_then(|c| crate::rules::find("radio/antenna").map(|r| (r.judge)(&RuleSite::of(c))));
        let worst = case.map_or_else(Vec::new, |c| {
            c.ports
                .current()
                .iter()
                .filter_map(|o| (o.value.1 == Quantity::Rsrp).then_some(o.value.2).flatten())
                .collect::<Vec<f64>>()
        });
        let apart = worst.iter().copied().fold(f64::MIN, f64::max)
            - worst.iter().copied().fold(f64::MAX, f64::min);
        let (measured, outcome) = match judged {
            Some(Judgement::Open) | None => ("not read".into(), Outcome::Incomplete),
            Some(_) if apart <= wanted => (format!("{apart:.1} dB apart"), Outcome::Passed),
            Some(_) => (format!("{apart:.1} dB apart"), Outcome::Failed),
        };
        say("balance of the antenna branches", format!("within {wanted} dB"), measured, outcome);
    }
}
