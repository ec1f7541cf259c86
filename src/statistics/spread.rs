//! The figures of one series: median, percentiles, intervals, effective count, drift.

use super::correlation::{ENOUGH_EFFECTIVE, LEAST_EFFECTIVE, effective_batches, widening};
use super::longrun::{COSINES, LEAST, long_run_variance};
use super::series::Batch;
use super::{Distribution, Series, student_quantile};
use serde::{Deserialize, Serialize};
use std::fmt;

/// Bounds in dB or dBm that hold the true figure 95 times of 100.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Interval {
    /// The lower bound.
    pub low: f64,
    /// The upper bound.
    pub high: f64,
}

impl Interval {
    /// From bound to bound, in dB.
    pub fn width(self) -> f64 {
        self.high - self.low
    }
}

/// How many independent samples a series is worth, which is itself known only roughly.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Effective {
    /// The independent samples that would leave the same uncertainty about the median.
    pub count: f64,
    /// The lower 95 % bound of the count.
    pub low: f64,
    /// The upper 95 % bound of the count.
    pub high: f64,
}

impl fmt::Display for Effective {
    /// To one figure, because the bounds lie a factor of two and more away.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let ten = 10f64.powf(self.count.max(1.0).log10().floor());
        write!(f, "~{:.0}", (self.count / ten).round() * ten)
    }
}

/// A straight line over time.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Drift {
    /// From the first sample to the last, in dB.
    pub db: f64,
    /// Half the width of its 95 % bounds, in dB.
    pub uncertainty_db: f64,
    /// Whether the line cannot be explained by fading (99 %).
    pub shown: bool,
}

/// What one series says.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Spread {
    /// Samples.
    pub count: u64,
    /// From the first sample to the last, in seconds.
    pub seconds: f64,
    /// What the samples are worth; `None` with too few samples to say.
    pub effective: Option<Effective>,
    /// How long it should be measured, s, where it was too short for bounds and the correlation is known.
    pub wanted_s: Option<f64>,
    /// Middle value of the dB values.
    pub median: f64,
    /// Its 95 % bounds; `None` with too few samples.
    pub median_interval: Option<Interval>,
    /// The value that a tenth of the samples stay below.
    pub p10: f64,
    /// Its 95 % bounds; `None` with too few samples.
    pub p10_interval: Option<Interval>,
    /// The value that nine tenths stay below.
    pub p90: f64,
    /// Mean of the powers in milliwatts, in dBm (of ratios: in dB).
    pub linear_average: f64,
    /// Standard deviation of the dB values, drift taken out.
    pub fading_db: f64,
    /// The lowest value.
    pub lowest: f64,
    /// The highest value.
    pub highest: f64,
    /// The step of the values, in dB.
    pub step: f64,
    /// Drift; `None` with too few samples.
    pub drift: Option<Drift>,
}

/// Finds the figures; `None` without samples.
pub fn spread(series: &Series) -> Option<Spread> {
    let d = series.distribution();
    let (lowest, highest) = d.range()?;
    let (_, deviation) = d.mean_and_deviation();
    let drift = drift(series);
    let middle = interval(series, &d, 0.5);
    Some(Spread {
        count: d.count(),
        seconds: series.seconds(),
        effective: effective(series, &d),
        wanted_s: middle.is_none().then(|| wanted_s(series)).flatten(),
        median: d.quantile(0.5),
        median_interval: middle,
        p10: d.quantile(0.1),
        p10_interval: interval(series, &d, 0.1),
        p90: d.quantile(0.9),
        linear_average: d.linear_average(),
        // A straight line of height h has the variance h² / 12.
        fading_db: drift
            .map_or(deviation, |line| (deviation.powi(2) - line.db.powi(2) / 12.0).max(0.0).sqrt()),
        lowest,
        highest,
        step: d.step(),
        drift,
    })
}

/// A percentile of a series with its 95 % bounds (`None` with too few samples for bounds on both
/// sides); `None` without samples. `share` is the part of the samples below it, 0 to 1.
pub fn percentile(series: &Series, share: f64) -> Option<(f64, Option<Interval>)> {
    let d = series.distribution();
    d.range()?;
    Some((d.quantile(share), interval(series, &d, share)))
}

/// The bounds of a percentile that hold the true one with this confidence, 0 to 1; `None` where the series is too
/// short for them.
pub fn percentile_bounds(series: &Series, share: f64, confidence: f64) -> Option<Interval> {
    let d = series.distribution();
    d.range()?;
    bounds(series, &d, share, confidence)
}

/// The variance, one sample's, of "is below the value that the share `p` stays below".
fn variance_below(series: &Series, d: &Distribution, p: f64, effective: f64) -> f64 {
    let batches = series.batches();
    let at = d.quantile(p);
    let below: Vec<f64> = batches.iter().map(|b| b.mean(|v| d.part_below(v, at))).collect();
    let variance =
        long_run_variance(&below, series.batch_size(), 0, effective) + inside_steps(batches, d, at);
    // Correlation never helps: a lucky estimate must not promise more than independent samples could.
    variance.max(p * (1.0 - p))
}

/// What the samples are worth for the median, with the 95 % bounds of a variance that six waves give
/// (chi-squared with 6 degrees of freedom: 1.2373 and 14.449, printed tables).
fn effective(series: &Series, d: &Distribution) -> Option<Effective> {
    if series.batches().len() < LEAST {
        return None;
    }
    let batches = effective_batches(series);
    if batches <= 0.0 {
        return Some(Effective { count: 1.0, low: 1.0, high: LEAST_EFFECTIVE });
    }
    let all = d.count() as f64;
    let count = (all * 0.25 / variance_below(series, d, 0.5, batches)).clamp(1.0, all);
    Some(Effective {
        count,
        low: (count * 1.2373 / 6.0).max(1.0),
        high: (count * 14.449 / 6.0).min(all),
    })
}

/// How long a series should be that was too short.
fn wanted_s(series: &Series) -> Option<f64> {
    let effective = effective_batches(series);
    let spacing = series.seconds() / (series.count().max(2) - 1) as f64;
    if spacing <= 0.0 {
        return None;
    }
    if series.batches().len() < LEAST || effective >= LEAST_EFFECTIVE {
        // The correlation is not known yet, or the percentile lies too far out.
        return Some((2.0 * series.seconds()).max(spacing * 2.0 * LEAST as f64));
    }
    Some(series.seconds() * ENOUGH_EFFECTIVE / effective.max(1.0))
}

/// The 95 % bounds of the value below which the share `p` lies.
///
/// Order statistics: the share below the true value is `p` give or take its uncertainty, whatever the
/// shape of the distribution. `None` where the series is too short for bounds on both sides.
pub(crate) fn interval(series: &Series, d: &Distribution, p: f64) -> Option<Interval> {
    bounds(series, d, p, 0.95)
}

fn bounds(series: &Series, d: &Distribution, p: f64, confidence: f64) -> Option<Interval> {
    let effective = effective_batches(series);
    if series.batches().len() < LEAST || effective < LEAST_EFFECTIVE {
        return None;
    }
    let variance = variance_below(series, d, p, effective);
    let uncertainty = (variance / d.count() as f64).sqrt() * widening(effective);
    let half = student_quantile(0.5 + confidence / 2.0, f64::from(COSINES)) * uncertainty;
    if half >= p.min(1.0 - p) {
        return None;
    }
    let at = d.quantile(p);
    let (mut low, mut high) = (d.quantile(p - half), d.quantile(p + half));
    // Where the fading hides inside one step of the modem, nothing is known below that step.
    if d.mean_and_deviation().1 < d.step() {
        low = low.min(at - d.step() / 2.0);
        high = high.max(at + d.step() / 2.0);
    }
    Some(Interval { low, high })
}

/// The variance of "is below" that hides inside the step that the value falls into.
fn inside_steps(batches: &[Batch], d: &Distribution, at: f64) -> f64 {
    let count: f64 = batches.iter().map(|b| f64::from(b.count)).sum();
    let sum: f64 = batches
        .iter()
        .map(|b| {
            let part = b.mean(|v| {
                let inside = d.part_below(v, at);
                inside * (1.0 - inside)
            });
            part * f64::from(b.count)
        })
        .sum();
    sum / count
}

/// The straight line over time through the batch means, and whether the slow part of the fading explains it.
fn drift(series: &Series) -> Option<Drift> {
    let batches = series.batches();
    if batches.len() < LEAST || series.seconds() <= 0.0 {
        return None;
    }
    let times: Vec<f64> = batches.iter().map(Batch::time).collect();
    let levels: Vec<f64> = batches.iter().map(|b| b.mean(|v| v)).collect();
    let n = times.len() as f64;
    let (mid_time, mid_level) = (times.iter().sum::<f64>() / n, levels.iter().sum::<f64>() / n);
    let reach: f64 = times.iter().map(|t| (t - mid_time).powi(2)).sum();
    if reach <= 0.0 {
        return None;
    }
    let slope =
        times.iter().zip(&levels).map(|(t, v)| (t - mid_time) * (v - mid_level)).sum::<f64>()
            / reach;
    let rest: Vec<f64> =
        times.iter().zip(&levels).map(|(t, v)| v - mid_level - slope * (t - mid_time)).collect();
    let variance = long_run_variance(&rest, 1, 1, effective_batches(series).max(1.0));
    let uncertainty = (variance / reach).sqrt() * series.seconds();
    let db = slope * series.seconds();
    let df = f64::from(COSINES);
    Some(Drift {
        db,
        uncertainty_db: student_quantile(0.975, df) * uncertainty,
        shown: db.abs() > student_quantile(0.995, df) * uncertainty && db.abs() >= 1.0,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn too_few_samples_have_a_median_and_no_interval() {
        let mut series = Series::new();
        for i in 0..10 {
            series.push(f64::from(i), -90.0 - f64::from(i));
        }
        let s = spread(&series).unwrap();
        assert!((s.median + 94.5).abs() < 1e-9);
        assert_eq!((s.median_interval, s.effective, s.drift), (None, None, None));
        assert_eq!(s.wanted_s, Some(40.0), "at one sample a second");
        assert_eq!(spread(&Series::new()), None);
    }

    #[test]
    fn the_effective_count_is_written_to_one_figure() {
        let of = |count| Effective { count, low: 1.0, high: 2.0 }.to_string();
        assert_eq!([of(7.4), of(36.2), of(96.0), of(217.0)], ["~7", "~40", "~100", "~200"]);
    }

    #[test]
    fn a_level_that_never_changes_is_known_to_its_step_only() {
        let mut series = Series::new();
        for i in 0..5000 {
            series.push(f64::from(i), -98.0);
        }
        let i = spread(&series).unwrap().median_interval.unwrap();
        assert_eq!((i.low, i.high), (-98.5, -97.5));
    }
}
