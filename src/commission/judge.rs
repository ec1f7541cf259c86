//! Whether criteria are met: passed, failed, or incomplete, with the measured figures.

use super::attach::{attach, restart};
use super::criteria::Criteria;
use super::{dialogue, spots};
use crate::case::Case;
use crate::survey::analysis::Analysis;
use serde::{Deserialize, Serialize};

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
    pub(super) const fn once(enough: bool) -> Self {
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
    /// The spot that it is about; empty where it is about the site.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub spot: String,
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

/// Holds samples and a capture against the criteria: every judged spot, and what the modem really used there.
pub fn judge(criteria: &Criteria, analysis: &Analysis, case: Option<&Case>) -> Vec<Measured> {
    let mut out = spots::all(criteria, analysis);
    out.extend(spots::bands(criteria, analysis));
    if let Some(wanted) = &criteria.access_point {
        out.push(dialogue::access_point(wanted, case));
        out.push(dialogue::address(case));
    }
    if criteria.roaming == Some(false) {
        out.push(dialogue::home(case));
    }
    if let Some(wanted) = criteria.branch_difference_db {
        let judged: Vec<_> =
            spots::judged(criteria, analysis).into_iter().filter_map(|(_, spot)| spot).collect();
        out.push(spots::branches(wanted, &judged, case));
    }
    if let Some(wanted) = criteria.reattach_seconds {
        let begun = case.map(attach);
        out.push(dialogue::begun("fresh attach, until registered for data", wanted, begun));
    }
    if let Some(wanted) = criteria.restart_seconds {
        let begun = case.map(restart);
        out.push(dialogue::begun("restart, until registered for data", wanted, begun));
    }
    out
}

pub(super) fn measured(
    criterion: &str,
    wanted: String,
    measured: String,
    outcome: Outcome,
) -> Measured {
    Measured {
        spot: String::new(),
        criterion: criterion.into(),
        wanted,
        measured,
        figure: None,
        outcome,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::commission::{Level, Measure};
    use crate::survey::sample::tests_sample;

    /// A spot by name and level, and the share of time on each of its cells.
    type Spot<'a> = (&'a str, f64, &'a [(u32, f64)]);

    /// Ten minutes at each spot: its level, and on which cells, by turns.
    fn site(spots: &[Spot<'_>]) -> Analysis {
        let mut analysis = Analysis::default();
        let mut sample = tests_sample(1);
        for (name, level, cells) in spots {
            for n in 0..600u32 {
                sample.at += chrono::TimeDelta::seconds(1);
                sample.spot = (*name).to_owned();
                let (pci, offset) = cells[(n * 7 % 10) as usize * cells.len() / 10];
                sample.cell.pci = Some(pci);
                sample.levels.rsrp_dbm = Some(level + offset + f64::from(n * 37 % 40) / 10.0 - 2.0);
                analysis.sample(&sample);
            }
        }
        analysis
    }

    fn criteria() -> Criteria {
        let level = vec![Level { of: Measure::Rsrp, percentile: 10.0, at_least: -110.0 }];
        Criteria { level, ..Criteria::default() }
    }

    fn failed(results: &[Measured]) -> Vec<&str> {
        results.iter().filter(|r| r.outcome == Outcome::Failed).map(|r| r.spot.as_str()).collect()
    }

    #[test]
    fn every_spot_is_judged_and_one_bad_one_fails() {
        let good: &[_] = &[(1, 0.0)];
        let analysis = site(&[("door", -85.0, good), ("cabinet", -130.0, good)]);
        assert_eq!(failed(&judge(&criteria(), &analysis, None)), ["cabinet"]);
        let door = Criteria { spots: Some(vec!["door".into(), "roof".into()]), ..criteria() };
        let results = judge(&door, &analysis, None);
        assert!(failed(&results).is_empty());
        assert!(results.iter().any(|r| r.spot == "roof" && r.outcome == Outcome::Incomplete));
    }

    #[test]
    fn a_weak_cell_that_served_two_fifths_of_the_time_counts() {
        let five: &[_] = &[(1, 0.0), (1, 0.0), (1, 0.0), (2, -40.0), (2, -40.0)];
        let analysis = site(&[("door", -85.0, five)]);
        assert_eq!(failed(&judge(&criteria(), &analysis, None)), ["door"]);
    }

    #[test]
    fn a_spot_that_was_not_always_registered_fails_without_being_asked_for() {
        let mut analysis = site(&[("door", -85.0, &[(1, 0.0)])]);
        assert!(failed(&judge(&criteria(), &analysis, None)).is_empty());
        let mut sample = tests_sample(9999);
        sample.spot = "door".into();
        sample.registration = Some(3);
        analysis.sample(&sample);
        assert_eq!(failed(&judge(&criteria(), &analysis, None)), ["door"]);
        let lenient = Criteria { registered_percent: Some(99.0), ..criteria() };
        assert!(failed(&judge(&lenient, &analysis, None)).is_empty());
    }
}
