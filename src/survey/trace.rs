//! A level over time, thinned to a few hundred buckets however long the survey is.

use crate::plot;

/// The most buckets.
const MOST: usize = 512;

/// The samples of one stretch of time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bucket {
    /// The lowest value.
    pub low: f64,
    /// The highest value.
    pub high: f64,
    /// The mean of the values in dB.
    pub mean: f64,
    /// How many.
    pub count: u32,
}

/// Buckets of equal width in time; one without samples is a gap.
#[derive(Clone, Debug)]
pub struct Trace {
    width_s: f64,
    buckets: Vec<Option<Bucket>>,
}

impl Default for Trace {
    fn default() -> Self {
        Self { width_s: 1.0, buckets: Vec::new() }
    }
}

impl Trace {
    /// Adds a value at a time in seconds from the beginning; earlier and impossible times are left out.
    pub fn push(&mut self, at: f64, value: f64) {
        if !(at >= 0.0 && at.is_finite() && value.is_finite()) {
            return;
        }
        while at / self.width_s >= MOST as f64 {
            self.widen();
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to the number of buckets"
        )]
        let index = (at / self.width_s) as usize;
        if self.buckets.len() <= index {
            self.buckets.resize(index + 1, None);
        }
        let one = Bucket { low: value, high: value, mean: value, count: 1 };
        self.buckets[index] = Some(self.buckets[index].map_or(one, |b| joined(b, one)));
    }

    fn widen(&mut self) {
        self.width_s *= 2.0;
        self.buckets = self
            .buckets
            .chunks(2)
            .map(|pair| pair.iter().flatten().copied().reduce(joined))
            .collect();
    }

    /// The width of a bucket, seconds.
    pub fn width_s(&self) -> f64 {
        self.width_s
    }

    /// As the plots take it.
    pub fn curve(&self) -> plot::Curve {
        let stretch = |b: &Bucket| plot::Stretch { low: b.low, high: b.high, mean: b.mean };
        plot::Curve {
            width_s: self.width_s,
            stretches: self.buckets.iter().map(|b| b.as_ref().map(stretch)).collect(),
        }
    }

    /// The buckets in order.
    pub fn buckets(&self) -> &[Option<Bucket>] {
        &self.buckets
    }
}

fn joined(a: Bucket, b: Bucket) -> Bucket {
    let count = a.count.saturating_add(b.count);
    let mean = a.mean + (b.mean - a.mean) * f64::from(b.count) / f64::from(count);
    Bucket { low: a.low.min(b.low), high: a.high.max(b.high), mean, count }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_week_fits_into_the_buckets_and_keeps_its_extremes() {
        let mut trace = Trace::default();
        for i in 0..604_800 {
            trace.push(f64::from(i), if i == 300_000 { -60.0 } else { -100.0 });
        }
        assert!(trace.buckets().len() <= MOST);
        let high = trace.buckets().iter().flatten().map(|b| b.high).fold(f64::MIN, f64::max);
        assert!((high + 60.0).abs() < 1e-9);
        assert_eq!(trace.buckets().iter().flatten().map(|b| b.count).sum::<u32>(), 604_800);
    }

    #[test]
    fn a_pause_is_a_gap() {
        let mut trace = Trace::default();
        trace.push(0.0, -90.0);
        trace.push(10.0, -91.0);
        assert_eq!(trace.buckets().iter().filter(|b| b.is_none()).count(), 9);
    }
}
