//! Whether two series differ, by how many dB, and between which bounds.
//!
//! The rank statistic of Wilcoxon, Mann and Whitney as a share: how often a sample of the first lies
//! above one of the second. Its uncertainty comes from the long-run variance of each sample's rank in
//! the other series (the placements of DeLong and of Brunner and Munzel), so that correlated samples
//! are not counted as independent. The shift is the one that makes the share one half (Hodges and
//! Lehmann); its bounds are the shifts that the test would not refuse.

use super::correlation::{LEAST_EFFECTIVE, effective_batches, widening};
use super::longrun::{COSINES, LEAST, long_run_variance};
use super::{Distribution, Series, student_cdf, student_quantile};
use serde::{Deserialize, Serialize};

/// The first series against the second.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Difference {
    /// How much higher the first is, in dB.
    pub shift_db: f64,
    /// Lower 95 % bound of the shift, in dB.
    pub low_db: f64,
    /// Upper 95 % bound of the shift, in dB.
    pub high_db: f64,
    /// How often a sample of the first lies above one of the second, 0 to 1; one half means no difference.
    pub above: f64,
    /// How often chance alone would show so much.
    pub chance: f64,
    /// Degrees of freedom of the bounds.
    pub df: f64,
}

impl Difference {
    /// Whether the bounds lie on one side of zero and chance would show so much less than five times in a hundred.
    pub fn is_shown(&self) -> bool {
        self.chance < 0.05 && (self.low_db > 0.0 || self.high_db < 0.0)
    }

    /// With a further variance of the shift, in dB², that is known with `df` degrees of freedom: what the levels
    /// of one place vary from visit to visit.
    #[must_use]
    pub fn with_variance(self, variance_db2: f64, df: f64) -> Self {
        let t = student_quantile(0.975, self.df);
        let own = ((self.high_db - self.low_db) / (2.0 * t)).powi(2);
        let all = own + variance_db2;
        if variance_db2 <= 0.0 || all <= 0.0 {
            return self;
        }
        let df = all.powi(2) / (own.powi(2) / self.df + variance_db2.powi(2) / df);
        let half = student_quantile(0.975, df) * all.sqrt();
        Self {
            low_db: self.shift_db - half,
            high_db: self.shift_db + half,
            chance: 2.0 * (1.0 - student_cdf(self.shift_db.abs() / all.sqrt(), df)),
            df,
            ..self
        }
    }
}

/// Compares two series; `None` where either was too short.
pub fn difference(first: &Series, second: &Series) -> Option<Difference> {
    let worth = [effective_batches(first), effective_batches(second)];
    if first.batches().len() < LEAST
        || second.batches().len() < LEAST
        || worth.iter().any(|n| *n < LEAST_EFFECTIVE)
    {
        return None;
    }
    let (a, b) = (first.distribution(), second.distribution());
    let shift = shift_where(&a, &b, 0.5);
    let own = variance_of_mean(first, worth[0], |v| b.share_below(v - shift));
    let other = variance_of_mean(second, worth[1], |v| a.share_below(v + shift));
    let variance = own + other;
    // Welch and Satterthwaite; two levels that never change leave nothing to divide.
    let df = f64::from(COSINES)
        * if variance > 0.0 { variance.powi(2) / (own.powi(2) + other.powi(2)) } else { 1.0 };
    let uncertainty = variance.sqrt().max(1e-9);
    let half = student_quantile(0.975, df) * uncertainty;
    let step = a.step().max(b.step());
    let (mut low, mut high) = (shift_where(&a, &b, 0.5 + half), shift_where(&a, &b, 0.5 - half));
    // Two levels that never change are known to half a step each.
    if a.mean_and_deviation().1 + b.mean_and_deviation().1 < step {
        low = low.min(shift - step);
        high = high.max(shift + step);
    }
    let above = share_above(&a, &b, 0.0);
    let mut chance = 2.0 * (1.0 - student_cdf((above - 0.5).abs() / uncertainty, df));
    if low <= 0.0 && high >= 0.0 {
        chance = chance.max(0.05);
    }
    Some(Difference { shift_db: shift, low_db: low, high_db: high, above, chance, df })
}

/// How often a sample of `a`, lowered by `shift`, lies above one of `b`.
fn share_above(a: &Distribution, b: &Distribution, shift: f64) -> f64 {
    a.values().map(|(v, c)| b.share_below(v - shift) * c as f64).sum::<f64>() / a.count() as f64
}

/// The shift that makes the share `wanted`; the share falls as the shift grows.
fn shift_where(a: &Distribution, b: &Distribution, wanted: f64) -> f64 {
    let reach = |d: &Distribution| d.range().unwrap_or((0.0, 0.0));
    let ((a_low, a_high), (b_low, b_high)) = (reach(a), reach(b));
    let margin = a.step() + b.step();
    let (mut low, mut high) = (a_low - b_high - margin, a_high - b_low + margin);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if share_above(a, b, middle) > wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// The variance of the mean placement, never below that of independent samples.
fn variance_of_mean(series: &Series, effective: f64, placement: impl Fn(f64) -> f64) -> f64 {
    let d = series.distribution();
    let n = d.count() as f64;
    let placed: Vec<(f64, f64)> = d.values().map(|(v, c)| (placement(v), c as f64)).collect();
    let mean = placed.iter().map(|(p, c)| p * c).sum::<f64>() / n;
    let plain = placed.iter().map(|(p, c)| (p - mean).powi(2) * c).sum::<f64>() / n;
    let means: Vec<f64> = series.batches().iter().map(|b| b.mean(&placement)).collect();
    let variance = long_run_variance(&means, series.batch_size(), 0, effective).max(plain);
    variance * widening(effective) / n
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ramp(from: i32, count: i32) -> Series {
        let mut s = Series::new();
        for i in 0..count {
            // A shuffle without chance: 37 is prime to the counts used here.
            s.push(f64::from(i), f64::from(from + (i * 37) % count) / 10.0);
        }
        s
    }

    #[test]
    fn a_series_against_itself_shows_nothing() {
        let d = difference(&ramp(-1000, 100), &ramp(-1000, 100)).unwrap();
        assert!(d.shift_db.abs() < 1e-6 && (d.above - 0.5).abs() < 1e-9);
        assert!(!d.is_shown());
    }

    #[test]
    fn a_clear_shift_is_given_in_decibels_and_turns_with_the_order() {
        let (a, b) = (ramp(-900, 100), ramp(-1000, 100));
        let (there, back) = (difference(&a, &b).unwrap(), difference(&b, &a).unwrap());
        assert!((there.shift_db - 10.0).abs() < 0.01, "{there:?}");
        assert!((there.shift_db + back.shift_db).abs() < 1e-6);
        assert!(there.is_shown());
    }

    #[test]
    fn a_handful_of_samples_answers_nothing() {
        assert_eq!(difference(&ramp(-900, 15), &ramp(-1000, 100)), None);
    }

    #[test]
    fn variation_between_visits_widens_the_bounds_and_lifts_the_chance() {
        let d = difference(&ramp(-900, 100), &ramp(-930, 100)).unwrap();
        let wide = d.with_variance(2.0 * 1.5 * 1.5, 1e6);
        assert!(wide.high_db - wide.low_db > d.high_db - d.low_db && wide.chance > d.chance);
        assert_eq!(d.with_variance(0.0, 1e6), d);
        // Nothing but the variation: 1.96 × √4.5 to either side.
        let bare = Difference { low_db: 0.0, high_db: 0.0, shift_db: 0.0, ..d };
        assert!((bare.with_variance(4.5, 1e9).high_db - 1.95996 * 4.5f64.sqrt()).abs() < 1e-3);
    }

    #[test]
    fn constant_levels_within_a_step_are_not_called_different() {
        let flat = |level: f64| {
            let mut s = Series::new();
            for i in 0..100 {
                s.push(f64::from(i), level);
            }
            s
        };
        assert!(!difference(&flat(-98.0), &flat(-99.0)).unwrap().is_shown());
        assert!(difference(&flat(-98.0), &flat(-104.0)).unwrap().is_shown());
    }
}
