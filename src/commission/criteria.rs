//! Criteria of an acceptance, from an editable file.

use crate::statistics::Series;
use crate::survey::spot::CellSeries;
use serde::{Deserialize, Serialize};

/// What must be met; what is left out is not asked for.
#[derive(Clone, Debug, Default, Deserialize, Serialize, PartialEq)]
#[serde(deny_unknown_fields, default)]
pub struct Criteria {
    /// What they are called.
    pub title: String,
    /// The spots that are judged; all named ones without it.
    pub spots: Option<Vec<String>>,
    /// Percentiles of levels and ratios, and what each must reach.
    pub level: Vec<Level>,
    /// How long the levels must have been watched, s.
    pub hold_seconds: Option<f64>,
    /// Samples wanted.
    pub samples: Option<u64>,
    /// Share of samples that are registered, percent; 100 without it.
    pub registered_percent: Option<f64>,
    /// Whether roaming is permitted.
    pub roaming: Option<bool>,
    /// The access point name.
    pub access_point: Option<String>,
    /// Bands that are permitted.
    pub bands: Option<Vec<u32>>,
    /// Most that receive branches may differ, dB.
    pub branch_difference_db: Option<f64>,
    /// Most that a fresh attach may take, s.
    pub reattach_seconds: Option<f64>,
    /// Most that a restart may take until data is registered again, s.
    pub restart_seconds: Option<f64>,
    /// The smallest change of a level that matters, dB; 3 without it.
    pub smallest_change_db: Option<f64>,
    /// What levels vary from visit to visit without any cause, dB (standard deviation); without it, what the
    /// site's own history shows, or 1.5.
    pub between_visits_db: Option<f64>,
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
    pub(super) const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Rsrp => ("level (RSRP)", "dBm"),
            Self::Rsrq => ("quality (RSRQ)", "dB"),
            Self::Sinr => ("signal over noise (SINR)", "dB"),
            Self::Rssi => ("received power (RSSI)", "dBm"),
        }
    }

    pub(super) const fn series(self, cell: &CellSeries) -> &Series {
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
            None => criteria.checked(),
        }
    }

    fn checked(self) -> Result<Self, String> {
        let positive = |name: &str, value: Option<f64>| match value {
            Some(v) if !(v.is_finite() && v >= 0.0) => {
                Err(format!("{name} is 0 or more, and {v} is not"))
            }
            _ => Ok(()),
        };
        for (name, value) in [
            ("hold_seconds", self.hold_seconds),
            ("branch_difference_db", self.branch_difference_db),
            ("smallest_change_db", self.smallest_change_db),
            ("between_visits_db", self.between_visits_db),
        ] {
            positive(name, value)?;
        }
        match self.registered_percent {
            Some(p) if !(0.0..=100.0).contains(&p) => {
                Err(format!("registered_percent lies between 0 and 100, and {p} does not"))
            }
            _ => Ok(self),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn impossible_criteria_are_said() {
        let wrong = |text: &str| Criteria::parse(text).unwrap_err();
        assert!(wrong("registered_percent = 101").contains("between 0 and 100"));
        assert!(wrong("smallest_change_db = -1").contains("0 or more"));
        assert!(
            wrong("[[level]]\nof = \"rsrp\"\npercentile = 100\nat_least = -90")
                .contains("percentile")
        );
    }
}
