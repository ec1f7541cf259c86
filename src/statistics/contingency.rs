//! Two-by-two tables: whether a trait is more frequent among the failing than among the healthy, and by how much.
//!
//! | figure | how it is found |
//! | --- | --- |
//! | chance | Fisher's exact test, two-sided: all tables that are at most as likely as this one (R. A. Fisher, Journal of the Royal Statistical Society 98, 1935) |
//! | chance within strata | the exact test of a common excess: the sum of the hypergeometric counts of all strata (W. G. Cochran, Biometrics 10, 1954, in its exact form) |
//! | bounds of a share | E. B. Wilson, Journal of the American Statistical Association 22, 1927 |
//! | bounds of a difference | hybrid score bounds, R. G. Newcombe, Statistics in Medicine 17, 1998, method 10 |
//!
//! The hypergeometric distribution is the `statrs` library's, as logarithms; its own two-sided test is not used, because
//! its probabilities overflow in large tables.

use super::spread::Interval;
use statrs::distribution::{Discrete, DiscreteCDF, Hypergeometric};

/// How many of two kinds have a trait and how many have not.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// Failing, with the trait.
    pub failing_with: u64,
    /// Failing, without it.
    pub failing_without: u64,
    /// Healthy, with the trait.
    pub healthy_with: u64,
    /// Healthy, without it.
    pub healthy_without: u64,
}

/// Tables whose logarithmic probabilities differ by less than this are taken as equally likely.
const EQUALLY: f64 = 1e-7;

/// The quantile of the normal distribution for bounds of 95 %.
const Z: f64 = 1.959_963_984_540_054;

impl Table {
    /// All failing.
    pub const fn failing(&self) -> u64 {
        self.failing_with + self.failing_without
    }

    /// All healthy.
    pub const fn healthy(&self) -> u64 {
        self.healthy_with + self.healthy_without
    }

    /// All with the trait.
    pub const fn with(&self) -> u64 {
        self.failing_with + self.healthy_with
    }

    /// The share of the failing that have the trait, less that of the healthy; not a number without both.
    pub fn difference(&self) -> f64 {
        self.failing_with as f64 / self.failing() as f64
            - self.healthy_with as f64 / self.healthy() as f64
    }

    /// Bounds of 95 % for [`Table::difference`].
    pub fn difference_bounds(&self) -> Interval {
        let (p, q) = (
            self.failing_with as f64 / self.failing() as f64,
            self.healthy_with as f64 / self.healthy() as f64,
        );
        let a = share_bounds(self.failing_with, self.failing());
        let b = share_bounds(self.healthy_with, self.healthy());
        let d = p - q;
        Interval { low: d - (p - a.low).hypot(b.high - q), high: d + (a.high - p).hypot(q - b.low) }
    }

    /// The hypergeometric distribution of the failing with the trait, if the trait had nothing to do with failing.
    fn by_chance(&self) -> Option<Hypergeometric> {
        Hypergeometric::new(self.failing() + self.healthy(), self.with(), self.failing()).ok()
    }

    /// The least and the largest count of failing with the trait that these sums allow.
    fn range(&self) -> (u64, u64) {
        let least = self.with().saturating_sub(self.healthy());
        (least, self.with().min(self.failing()))
    }

    /// The chance of a table at most as likely as this one, if the trait had nothing to do with failing.
    pub fn chance(&self) -> f64 {
        let Some(by_chance) = self.by_chance() else { return f64::NAN };
        let limit = by_chance.ln_pmf(self.failing_with) + EQUALLY;
        let (least, most) = self.range();
        let sum: f64 = (least..=most)
            .map(|n| by_chance.ln_pmf(n))
            .filter(|ln| *ln <= limit)
            .map(f64::exp)
            .sum();
        sum.min(1.0)
    }

    /// The probabilities of all counts of failing with the trait that are worth counting, and the count of the first.
    fn probabilities(&self) -> (u64, Vec<f64>) {
        let Some(by_chance) = self.by_chance() else { return (0, Vec::new()) };
        let (least, most) = self.range();
        if least == most {
            return (least, vec![1.0]);
        }
        let likely: Vec<(u64, f64)> = (least..=most)
            .map(|n| (n, by_chance.ln_pmf(n).exp()))
            .skip_while(|(_, p)| *p < NEGLIGIBLE)
            .take_while(|(_, p)| *p >= NEGLIGIBLE)
            .collect();
        (likely.first().map_or(least, |l| l.0), likely.into_iter().map(|(_, p)| p).collect())
    }
}

/// Counts that are less likely than this do not change a sum of probabilities.
const NEGLIGIBLE: f64 = 1e-14;

/// The chance that as many failing sites or more have the trait over all strata together, if within each stratum it had
/// nothing to do with failing. 1 where no stratum can tell.
pub fn chance_within(strata: &[Table]) -> f64 {
    let seen: u64 = strata.iter().map(|t| t.failing_with).sum();
    let mut first = 0;
    let mut sum = vec![1.0];
    for stratum in strata {
        let (least, probabilities) = stratum.probabilities();
        if probabilities.is_empty() {
            continue;
        }
        first += least;
        let mut next = vec![0.0; sum.len() + probabilities.len() - 1];
        for (i, p) in sum.iter().enumerate() {
            for (j, q) in probabilities.iter().enumerate() {
                next[i + j] += p * q;
            }
        }
        sum = next;
    }
    let from = usize::try_from(seen.saturating_sub(first)).unwrap_or(usize::MAX);
    sum.iter().skip(from).sum::<f64>().min(1.0)
}

/// Wilson's bounds of 95 % for a share of `count` in `all`.
pub fn share_bounds(count: u64, all: u64) -> Interval {
    let (n, p) = (all as f64, count as f64 / all as f64);
    let middle = (p + Z * Z / (2.0 * n)) / (1.0 + Z * Z / n);
    let half = Z / (1.0 + Z * Z / n) * (p * (1.0 - p) / n + Z * Z / (4.0 * n * n)).sqrt();
    Interval { low: (middle - half).max(0.0), high: (middle + half).min(1.0) }
}

/// The chance of as many failing sites with the trait or more, one-sided.
pub fn chance_of_more(table: &Table) -> f64 {
    match (table.by_chance(), table.failing_with.checked_sub(1)) {
        (Some(by_chance), Some(below)) => by_chance.sf(below),
        (Some(_), None) => 1.0,
        (None, _) => f64::NAN,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn table(a: u64, b: u64, c: u64, d: u64) -> Table {
        Table { failing_with: a, failing_without: b, healthy_with: c, healthy_without: d }
    }

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() <= 1e-6 * b.abs().max(1e-300)
    }

    #[test]
    fn the_exact_test_gives_published_and_whole_number_figures() {
        // The lady tasting tea, Fisher 1935: 3 of 4 right; two-sided 34/70, one-sided 17/70.
        assert!(near(table(3, 1, 1, 3).chance(), 34.0 / 70.0));
        assert!(near(chance_of_more(&table(3, 1, 1, 3)), 17.0 / 70.0));
        // Large tables, against whole-number arithmetic made outside: 0.236, and nearly nothing.
        assert!((table(349, 659, 318, 674).chance() - 0.236).abs() < 5e-4);
        assert!(table(667, 0, 0, 1333).chance() < 1e-300);
        assert!(near(table(0, 5, 0, 7).chance(), 1.0) && near(table(5, 0, 7, 0).chance(), 1.0));
    }

    #[test]
    fn one_stratum_is_the_one_sided_test_and_a_confounder_explains() {
        let one = table(9, 3, 20, 60);
        assert!(near(chance_within(&[one]), chance_of_more(&one)));
        // All of the excess comes from the strata: within each, the trait is as frequent in both kinds.
        let strata = [table(40, 10, 8, 2), table(1, 9, 40, 360)];
        assert!(chance_of_more(&table(41, 19, 48, 362)) < 1e-10);
        assert!(chance_within(&strata) > 0.3, "{}", chance_within(&strata));
        assert!(near(chance_within(&[table(5, 0, 7, 0)]), 1.0));
        assert!(near(chance_within(&[]), 1.0));
    }

    #[test]
    fn bounds_are_those_of_their_publications() {
        // Newcombe 1998, Statistics in Medicine 17, p. 873, table II: 56/70 against 48/80, method 10: 0.0524 to 0.3339.
        let bounds = table(56, 14, 48, 32).difference_bounds();
        assert!(
            (bounds.low - 0.0524).abs() < 5e-5 && (bounds.high - 0.3339).abs() < 5e-5,
            "{bounds:?}"
        );
        let none = share_bounds(0, 10);
        assert!(none.low.abs() < 1e-12 && (none.high - 0.2775).abs() < 1e-4, "{none:?}");
    }
}
