//! A run of samples over time, held in a fixed number of batches.

use super::Distribution;

/// The most batches kept; at this number, neighbours are joined two by two.
const MOST: usize = 128;

/// Consecutive samples: the values in tenths with their counts, and the sum of their times.
#[derive(Clone, Debug, Default)]
pub(super) struct Batch {
    pub(super) cells: Vec<(i32, u32)>,
    pub(super) count: u32,
    time_sum: f64,
}

impl Batch {
    fn push(&mut self, at: f64, tenths: i32) {
        match self.cells.binary_search_by_key(&tenths, |c| c.0) {
            Ok(i) => self.cells[i].1 += 1,
            Err(i) => self.cells.insert(i, (tenths, 1)),
        }
        self.count += 1;
        self.time_sum += at;
    }

    fn join(mut self, other: &Self) -> Self {
        let mut joined = Vec::with_capacity(self.cells.len() + other.cells.len());
        let (mut mine, mut theirs) = (self.cells.iter().peekable(), other.cells.iter().peekable());
        loop {
            match (mine.peek(), theirs.peek()) {
                (Some(a), Some(b)) if a.0 == b.0 => {
                    joined.push((a.0, a.1 + b.1));
                    mine.next();
                    theirs.next();
                }
                (Some(a), Some(b)) if a.0 > b.0 => joined.extend(theirs.next()),
                (None, Some(_)) => joined.extend(theirs.next()),
                (Some(_), _) => joined.extend(mine.next()),
                (None, None) => break,
            }
        }
        self.cells = joined;
        self.count += other.count;
        self.time_sum += other.time_sum;
        self
    }

    /// The mean over the samples of what `of` makes of a value in dB.
    pub(super) fn mean(&self, of: impl Fn(f64) -> f64) -> f64 {
        let sum: f64 =
            self.cells.iter().map(|&(v, c)| of(f64::from(v) / 10.0) * f64::from(c)).sum();
        sum / f64::from(self.count)
    }

    /// The mean time in seconds.
    pub(super) fn time(&self) -> f64 {
        self.time_sum / f64::from(self.count)
    }
}

/// Samples of one quantity in the order of time.
#[derive(Clone, Debug)]
pub struct Series {
    full: Vec<Batch>,
    filling: Batch,
    size: u32,
    first: Option<f64>,
    last: f64,
}

impl Default for Series {
    fn default() -> Self {
        Self::new()
    }
}

impl Series {
    /// Without samples.
    pub fn new() -> Self {
        Self { full: Vec::new(), filling: Batch::default(), size: 1, first: None, last: 0.0 }
    }

    /// Adds a sample: its time in seconds from any fixed moment, and its value in dB or dBm.
    ///
    /// Values are kept to the tenth. Those that are not numbers are left out.
    pub fn push(&mut self, at: f64, value: f64) {
        if !value.is_finite() || !at.is_finite() {
            return;
        }
        // No level is near these bounds, so the conversion cannot cut one.
        #[expect(clippy::cast_possible_truncation, reason = "clamped to a range that fits")]
        let tenths = (value * 10.0).round().clamp(-1e6, 1e6) as i32;
        self.first.get_or_insert(at);
        self.last = at;
        self.filling.push(at, tenths);
        if self.filling.count >= self.size {
            self.full.push(std::mem::take(&mut self.filling));
            if self.full.len() == MOST {
                self.halve();
            }
        }
    }

    fn halve(&mut self) {
        let mut joined = Vec::with_capacity(MOST);
        let mut batches = std::mem::take(&mut self.full).into_iter();
        while let (Some(a), Some(b)) = (batches.next(), batches.next()) {
            joined.push(a.join(&b));
        }
        self.full = joined;
        self.size = self.size.saturating_mul(2);
    }

    /// How many samples.
    pub fn count(&self) -> u64 {
        self.full.iter().chain([&self.filling]).map(|b| u64::from(b.count)).sum()
    }

    /// From the first sample to the last, in seconds.
    pub fn seconds(&self) -> f64 {
        self.first.map_or(0.0, |first| (self.last - first).max(0.0))
    }

    /// The counts of all values.
    pub fn distribution(&self) -> Distribution {
        let mut all: Vec<(i32, u64)> = self
            .full
            .iter()
            .chain([&self.filling])
            .flat_map(|b| b.cells.iter().map(|&(v, c)| (v, u64::from(c))))
            .collect();
        all.sort_unstable_by_key(|c| c.0);
        all.dedup_by(|later, kept| {
            let same = later.0 == kept.0;
            if same {
                kept.1 += later.1;
            }
            same
        });
        Distribution::from_cells(all)
    }

    /// The complete batches, all of one size, oldest first.
    pub(super) fn batches(&self) -> &[Batch] {
        &self.full
    }

    /// Samples in a batch.
    pub(super) fn batch_size(&self) -> u32 {
        self.size
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn no_sample_is_lost_when_batches_are_joined(values in prop::collection::vec(-1200i32..-600, 1..2000)) {
            let mut series = Series::new();
            for (i, v) in values.iter().enumerate() {
                series.push(i as f64, f64::from(*v) / 10.0);
            }
            let mut sorted = values.clone();
            sorted.sort_unstable();
            #[expect(clippy::cast_possible_truncation, reason = "tenths of levels")]
            let counted: Vec<i32> = series.distribution().values()
                .flat_map(|(v, c)| std::iter::repeat_n((v * 10.0).round() as i32, usize::try_from(c).unwrap()))
                .collect();
            prop_assert_eq!(counted, sorted);
            prop_assert!(series.batches().len() < MOST);
        }
    }

    #[test]
    fn what_is_not_a_number_is_left_out() {
        let mut series = Series::new();
        series.push(0.0, f64::NAN);
        series.push(f64::INFINITY, -90.0);
        assert_eq!(series.count(), 0);
    }
}
