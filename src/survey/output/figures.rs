//! The figures of one spot as every output shows them, and the order in which spots are shown: the worst first.

use crate::statistics::{Series, Spread};
use crate::survey::analysis::Analysis;
use crate::survey::spot::Spot;
use std::cmp::Ordering;

/// Below this share of registered samples a spot is called lost for a while, percent.
pub(super) const REGISTERED_PERCENT: f64 = 99.5;

/// Below this median a spot is called weak, dBm (common practice, no source).
pub(super) const WEAK_DBM: f64 = -110.0;

/// One spot with the figures of all that the modem used there.
pub(super) struct Figures<'a> {
    /// The spot.
    pub(super) spot: &'a Spot,
    /// The level; `None` where none was measured.
    pub(super) level: Option<Spread>,
    /// The registered share, percent; `None` where no sample tells.
    pub(super) registered_percent: Option<f64>,
}

impl<'a> Figures<'a> {
    /// Of one spot.
    pub(super) fn of(spot: &'a Spot) -> Self {
        Self { spot, level: spot.used.level(), registered_percent: spot.registered_percent() }
    }

    /// All spots, the worst first: by the registered share, then by the level.
    pub(super) fn worst_first(analysis: &'a Analysis) -> Vec<Self> {
        let mut all: Vec<Self> = analysis.spots.iter().map(Self::of).collect();
        all.sort_by(Self::order);
        all
    }

    pub(super) fn order(&self, other: &Self) -> Ordering {
        let share = |f: &Self| f.registered_percent.map_or(100.0, f64::round);
        let median = |f: &Self| f.level.as_ref().map_or(f64::MIN, |l| l.median);
        share(self).total_cmp(&share(other)).then(median(self).total_cmp(&median(other)))
    }

    /// Whether the registration was lost.
    pub(super) fn is_lost(&self) -> bool {
        self.registered_percent.is_some_and(|share| share < REGISTERED_PERCENT)
    }

    /// Whether the level is weak, or none was measured.
    pub(super) fn is_weak(&self) -> bool {
        self.level.as_ref().is_none_or(|l| l.median < WEAK_DBM)
    }

    /// Whether it was measured too shortly for bounds.
    pub(super) fn is_short(&self) -> bool {
        self.level.as_ref().is_none_or(|l| l.median_interval.is_none())
    }

    /// The registered share in words.
    pub(super) fn share_words(&self) -> String {
        percent_words(self.registered_percent)
    }

    /// The bounds of the median, or how long it should have been measured.
    pub(super) fn bounds_words(&self) -> String {
        let Some(level) = &self.level else { return String::new() };
        match (level.median_interval, level.wanted_s) {
            (Some(i), _) => format!("{:.1} to {:.1}", i.low, i.high),
            (None, Some(seconds)) => format!("too short, {}", duration_words(seconds)),
            (None, None) => "too short".into(),
        }
    }

    /// What the samples are worth.
    pub(super) fn effective_words(&self) -> String {
        self.level.as_ref().and_then(|l| l.effective).map_or_else(|| "-".into(), |n| n.to_string())
    }
}

/// A share in words, never rounded up to everything.
pub(super) fn percent_words(percent: Option<f64>) -> String {
    match percent {
        None => "not read".into(),
        Some(share) if share < 100.0 && share > 99.9 => "99.9 %".into(),
        Some(share) if share.fract() == 0.0 => format!("{share:.0} %"),
        Some(share) => format!("{share:.1} %"),
    }
}

/// A time in words.
pub(super) fn duration_words(seconds: f64) -> String {
    match seconds {
        s if s < 100.0 => format!("{:.0} s", s.ceil()),
        s if s < 5940.0 => format!("{:.0} min", (s / 60.0).ceil()),
        s if s < 86_400.0 * 2.0 => format!("{:.0} h", (s / 3600.0).ceil()),
        s => format!("{:.0} days", (s / 86_400.0).ceil()),
    }
}

/// The median of a series; `None` without samples.
pub(super) fn median(series: &Series) -> Option<f64> {
    (series.count() > 0).then(|| series.distribution().quantile(0.5))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_is_never_rounded_up_to_everything() {
        assert_eq!(percent_words(Some(99.99)), "99.9 %");
        assert_eq!(percent_words(Some(100.0)), "100 %");
        assert_eq!(percent_words(Some(41.26)), "41.3 %");
        assert_eq!(duration_words(61.0 * 60.0), "61 min");
    }
}
