//! How many independent samples a run of correlated levels is worth, from the correlation of its batches.
//!
//! The batch means are taken for a first-order autoregression; the lag-one correlation is corrected for its
//! bias in short runs ((B·r + 1) / (B − 3): Marriott and Pope, Biometrika 41, 1954, quoted from memory). A run
//! that is shorter than its own fading looks like a slope: the corrected correlation reaches 1 then, and the
//! run is worth nothing. The figure is a lower one for long runs, because it never exceeds the number of batches.

use super::Series;
use super::series::Batch;

/// Fewer independent samples than this carry no bounds: the run was too short.
///
/// Settled by simulation (the coverage check among the benches): with 12, and bounds widened by
/// the widening of this file, at most 4 of 100 series with correlation times of 2 to 200 samples get bounds that miss.
pub const LEAST_EFFECTIVE: f64 = 12.0;

/// So many independent samples make a survey that is long enough.
pub const ENOUGH_EFFECTIVE: f64 = 20.0;

/// The independent samples that the levels are worth, at most the number of batches.
pub(super) fn effective_batches(series: &Series) -> f64 {
    let means: Vec<f64> = series.batches().iter().map(|b: &Batch| b.mean(|v| v)).collect();
    let n = means.len() as f64;
    if means.len() < 5 {
        return 0.0;
    }
    let centre = means.iter().sum::<f64>() / n;
    let own: f64 = means.iter().map(|m| (m - centre).powi(2)).sum();
    if own < 1e-9 {
        // A level that never changes has no correlation to be misled by.
        return n;
    }
    let next: f64 = means.windows(2).map(|w| (w[0] - centre) * (w[1] - centre)).sum();
    let correlation = (n * next / own + 1.0) / (n - 3.0);
    if correlation >= 1.0 {
        return 0.0;
    }
    n * (1.0 - correlation.max(0.0)) / (1.0 + correlation.max(0.0))
}

/// By how much bounds are widened because the correlation itself is known only roughly.
pub(super) fn widening(effective: f64) -> f64 {
    1.0 + 4.0 / effective
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Random;
    use crate::statistics::tests::{ar1, series};

    #[test]
    fn the_count_centres_on_the_known_one_and_a_slope_is_worth_nothing() {
        let mut random = Random::seeded(31);
        // AR(1): n (1 - rho) / (1 + rho) = 120 / 4.
        let mean = (0..300)
            .map(|_| effective_batches(&series(&ar1(&mut random, 120, 0.6, 4.0, -90.0), 0.1)))
            .sum::<f64>()
            / 300.0;
        assert!((mean - 30.0).abs() < 4.0, "{mean}");
        let slope: Vec<f64> = (0..120).map(|i| -90.0 - f64::from(i) / 10.0).collect();
        assert!(effective_batches(&series(&slope, 0.1)) < 2.0);
    }
}
