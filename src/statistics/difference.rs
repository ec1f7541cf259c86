//! Whether two series differ, by how many dB, and between which bounds.
//!
//! The rank statistic of Wilcoxon, Mann and Whitney as a share: how often a sample of the first lies
//! above one of the second. Its uncertainty comes from the long-run variance of each sample's rank in
//! the other series (the placements of DeLong and of Brunner and Munzel), so that correlated samples
//! are not counted as independent. The shift is the one that makes the share one half (Hodges and
//! Lehmann); its bounds are the shifts that the test would not refuse.

use super::longrun::{COSINES, LEAST, long_run_variance};
use super::{Distribution, Series, student_cdf, student_quantile};
use serde::{Deserialize, Serialize};

/// Whether a difference is more than chance.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Answer {
    /// Chance would show so much less than once in a hundred times.
    Real,
    /// Chance would show so much one to five times in a hundred: measure longer.
    Perhaps,
    /// Chance explains it.
    NotShown,
}

impl Answer {
    /// The answer in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Real => "real",
            Self::Perhaps => "perhaps real, measure longer",
            Self::NotShown => "not shown: chance explains it",
        }
    }
}

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
    /// The answer.
    pub answer: Answer,
}

/// Compares two series; `None` where either has too few samples.
pub fn difference(first: &Series, second: &Series) -> Option<Difference> {
    if first.batches().len() < LEAST || second.batches().len() < LEAST {
        return None;
    }
    let (a, b) = (first.distribution(), second.distribution());
    let shift = shift_where(&a, &b, 0.5);
    let own = variance_of_mean(first, |v| b.share_below(v - shift));
    let other = variance_of_mean(second, |v| a.share_below(v + shift));
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
    let chance = 2.0 * (1.0 - student_cdf((above - 0.5).abs() / uncertainty, df));
    let outside = low > 0.0 || high < 0.0;
    let answer = match chance {
        c if c < 0.01 && outside => Answer::Real,
        c if c < 0.05 && outside => Answer::Perhaps,
        _ => Answer::NotShown,
    };
    Some(Difference { shift_db: shift, low_db: low, high_db: high, above, chance, answer })
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
fn variance_of_mean(series: &Series, placement: impl Fn(f64) -> f64) -> f64 {
    let d = series.distribution();
    let n = d.count() as f64;
    let placed: Vec<(f64, f64)> = d.values().map(|(v, c)| (placement(v), c as f64)).collect();
    let mean = placed.iter().map(|(p, c)| p * c).sum::<f64>() / n;
    let plain = placed.iter().map(|(p, c)| (p - mean).powi(2) * c).sum::<f64>() / n;
    let means: Vec<f64> = series.batches().iter().map(|b| b.mean(&placement)).collect();
    long_run_variance(&means, series.batch_size(), 0).max(plain) / n
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
        assert_eq!(d.answer, Answer::NotShown);
    }

    #[test]
    fn a_clear_shift_is_given_in_decibels_and_turns_with_the_order() {
        let (a, b) = (ramp(-900, 100), ramp(-1000, 100));
        let (there, back) = (difference(&a, &b).unwrap(), difference(&b, &a).unwrap());
        assert!((there.shift_db - 10.0).abs() < 0.01, "{there:?}");
        assert!((there.shift_db + back.shift_db).abs() < 1e-6);
        assert_eq!(there.answer, Answer::Real);
    }

    #[test]
    fn a_handful_of_samples_answers_nothing() {
        assert_eq!(difference(&ramp(-900, 15), &ramp(-1000, 100)), None);
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
        assert_eq!(difference(&flat(-98.0), &flat(-99.0)).unwrap().answer, Answer::NotShown);
        assert_eq!(difference(&flat(-98.0), &flat(-104.0)).unwrap().answer, Answer::Real);
    }
}
