//! How often each value occurred: exact percentiles, shares below, and means.

/// Counts of values in tenths of a dB, in rising order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Distribution {
    cells: Vec<(i32, u64)>,
    count: u64,
    step: i32,
}

impl Distribution {
    /// From values in tenths with their counts, in rising order of values that do not repeat.
    pub(super) fn from_cells(cells: Vec<(i32, u64)>) -> Self {
        let count = cells.iter().map(|c| c.1).sum();
        let step = step_of(&cells);
        Self { cells, count, step }
    }

    /// How many samples.
    pub fn count(&self) -> u64 {
        self.count
    }

    /// The values (dB or dBm) and their counts, lowest first.
    pub fn values(&self) -> impl Iterator<Item = (f64, u64)> + '_ {
        self.cells.iter().map(|&(v, c)| (f64::from(v) / 10.0, c))
    }

    /// The step in which the modem gives its values, in dB, as far as the values show it.
    pub fn step(&self) -> f64 {
        f64::from(self.step) / 10.0
    }

    /// The lowest and the highest value; `None` without samples.
    pub fn range(&self) -> Option<(f64, f64)> {
        let (first, last) = (self.cells.first()?, self.cells.last()?);
        Some((f64::from(first.0) / 10.0, f64::from(last.0) / 10.0))
    }

    /// The value below which the share `p` lies.
    ///
    /// A value stands for the step around it, evenly filled, so that the median of values in whole
    /// dB is not bound to whole dB. Not a number without samples.
    pub fn quantile(&self, p: f64) -> f64 {
        let Some((low, high)) = self.range() else {
            return f64::NAN;
        };
        let half = self.step() / 2.0;
        let wanted = p.clamp(0.0, 1.0) * self.count as f64;
        let mut below = 0.0;
        for (value, count) in self.values() {
            let here = count as f64;
            if below + here >= wanted {
                let inside = ((wanted - below) / here).clamp(0.0, 1.0);
                return value - half + inside * 2.0 * half;
            }
            below += here;
        }
        if p <= 0.0 { low - half } else { high + half }
    }

    /// The share of the samples below `value`, each spread evenly over its step.
    pub fn share_below(&self, value: f64) -> f64 {
        let mut below = 0.0;
        for (at, count) in self.values() {
            let inside = self.part_below(at, value);
            if inside <= 0.0 {
                break;
            }
            below += inside * count as f64;
        }
        below / self.count as f64
    }

    /// How much of the step around `at` lies below `value`, 0 to 1.
    pub(super) fn part_below(&self, at: f64, value: f64) -> f64 {
        ((value - at) / self.step() + 0.5).clamp(0.0, 1.0)
    }

    /// Mean of the powers, said in dB again: what a power meter would average.
    pub fn linear_average(&self) -> f64 {
        let milliwatts: f64 = self.values().map(|(v, c)| 10f64.powf(v / 10.0) * c as f64).sum();
        10.0 * (milliwatts / self.count as f64).log10()
    }

    /// Mean and standard deviation of the dB values.
    pub fn mean_and_deviation(&self) -> (f64, f64) {
        let n = self.count as f64;
        let mean = self.values().map(|(v, c)| v * c as f64).sum::<f64>() / n;
        let square = self.values().map(|(v, c)| (v - mean).powi(2) * c as f64).sum::<f64>();
        (mean, (square / (n - 1.0).max(1.0)).sqrt())
    }
}

/// The step of the values in tenths: what all their distances share, at most 2 dB.
///
/// Three or fewer different values may share a distance by chance; then only whole and half dB of the
/// values themselves count.
fn step_of(cells: &[(i32, u64)]) -> i32 {
    let Some(&(first, _)) = cells.first() else {
        return 1;
    };
    let step = if cells.len() > 3 {
        cells.iter().fold(20, |step, &(v, _)| common(step, v - first))
    } else {
        cells.iter().fold(10, |step, &(v, _)| common(step, v))
    };
    step.max(1)
}

/// The greatest common divisor.
fn common(a: i32, b: i32) -> i32 {
    let (mut a, mut b) = (a.abs(), b.abs());
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(values: &[(i32, u64)]) -> Distribution {
        Distribution::from_cells(values.to_vec())
    }

    #[test]
    fn the_median_of_whole_values_is_found_between_them() {
        let d = of(&[(-1000, 10), (-990, 20), (-980, 10), (-970, 10)]);
        assert!((d.step() - 1.0).abs() < 1e-9);
        // 25 of 50: ten below -99.5, then 15 of the 20 around -99.
        assert!((d.quantile(0.5) - (-99.5 + 0.75)).abs() < 1e-9);
    }

    #[test]
    fn the_share_below_a_quantile_is_its_share() {
        let d = of(&[(-1000, 7), (-990, 21), (-985, 3), (-970, 10)]);
        for p in [0.05, 0.3, 0.5, 0.77] {
            assert!((d.share_below(d.quantile(p)) - p).abs() < 1e-9);
        }
    }

    #[test]
    fn the_linear_average_lies_above_the_mean_in_decibels() {
        // 1 mW and 0.01 mW: mean 0.505 mW, which is -2.967 dBm; the mean of the dB values is -10.
        let d = of(&[(-200, 1), (0, 1)]);
        assert!((d.linear_average() - 10.0 * 0.505f64.log10()).abs() < 1e-9);
        assert!((d.mean_and_deviation().0 + 10.0).abs() < 1e-9);
    }

    #[test]
    fn few_values_do_not_pretend_a_coarse_step() {
        assert!((of(&[(-1000, 3), (-960, 3)]).step() - 1.0).abs() < 1e-9);
        assert!((of(&[(-1003, 3)]).step() - 0.1).abs() < 1e-9);
        assert!((of(&[(-1130, 1), (-1110, 1), (-1070, 1), (-1050, 2)]).step() - 2.0).abs() < 1e-9);
    }
}
