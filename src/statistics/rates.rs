//! How often something happens, and how long it lasts on average, with bounds from the chi-square distribution.
//!
//! The bounds are exact for events that come independently at a constant rate, and for spans that are exponentially
//! distributed (IEC 60605-4, from memory); a fixed time of watching is assumed, not a fixed number of events.

use super::spread::Interval;
use statrs::distribution::{ChiSquared, ContinuousCDF};

/// The mean time between events, of `events` in a time, with the bounds at this confidence: no event has a lower bound
/// alone, and the upper one is infinite.
pub fn mean_between(time: f64, events: u64, confidence: f64) -> (Option<f64>, Interval) {
    let twice = 2.0 * events as f64;
    let tail = (1.0 - confidence) / 2.0;
    let low = 2.0 * time / chi_square(1.0 - tail, twice + 2.0);
    let high = if events == 0 { f64::INFINITY } else { 2.0 * time / chi_square(tail, twice) };
    ((events > 0).then(|| time / events as f64), Interval { low, high })
}

/// The mean of spans with its bounds at this confidence; `None` without any.
pub fn mean_span(spans: &[f64], confidence: f64) -> Option<(f64, Interval)> {
    if spans.is_empty() {
        return None;
    }
    let (all, count) = (spans.iter().sum::<f64>(), spans.len() as f64);
    let tail = (1.0 - confidence) / 2.0;
    let low = 2.0 * all / chi_square(1.0 - tail, 2.0 * count);
    let high = 2.0 * all / chi_square(tail, 2.0 * count);
    Some((all / count, Interval { low, high }))
}

/// The value below which the share `p` of the chi-square distribution lies.
fn chi_square(p: f64, degrees: f64) -> f64 {
    ChiSquared::new(degrees).map_or(f64::NAN, |d| d.inverse_cdf(p))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.5.1: 800 hours with 2 failures, 90 % confidence: from
    /// 127 to 2251 hours around 400; with none, from 0.3338 times the time on (95 %, one side).
    #[test]
    fn the_bounds_are_those_of_the_handbook() {
        let (mean, bounds) = mean_between(800.0, 2, 0.90);
        assert_eq!(mean, Some(400.0));
        assert!(
            (bounds.low - 127.1).abs() < 0.1 && (bounds.high - 2251.2).abs() < 0.5,
            "{bounds:?}"
        );
        let (mean, bounds) = mean_between(1000.0, 0, 0.90);
        assert!(mean.is_none() && bounds.high.is_infinite());
        assert!((bounds.low - 333.8).abs() < 0.1, "{bounds:?}");
    }

    #[test]
    fn spans_have_a_mean_within_its_bounds() {
        let (mean, bounds) = mean_span(&[10.0, 20.0, 60.0], 0.95).unwrap();
        assert!((mean - 30.0).abs() < 1e-9 && bounds.low < mean && mean < bounds.high);
        // Chi-square with 6 degrees of freedom: 1.237 and 14.449 (NIST/SEMATECH e-Handbook, table 1.3.6.7.4).
        assert!((bounds.low - 180.0 / 14.449).abs() < 0.01, "{bounds:?}");
        assert!((bounds.high - 180.0 / 1.237).abs() < 0.1, "{bounds:?}");
        assert!(mean_span(&[], 0.95).is_none());
    }
}
