//! How long to measure until the bounds of a median are as narrow as wished, without looking too often.
//!
//! Whoever measures until the bounds happen to be narrow gets bounds that promise too much. Here a pilot is
//! measured, looked at only when its length has doubled, and from its spread the length is fixed once (Stein's
//! two stages, Annals of Mathematical Statistics 16, 1945): the end does not depend on the levels that come.

use super::correlation::{ENOUGH_EFFECTIVE, effective_batches};
use super::{Series, spread};

/// The first look at a pilot, in samples.
const FIRST_LOOK: u64 = 64;

/// So much longer than the pilot asks for, because the spread is known only roughly.
const MARGIN: f64 = 1.2;

/// The plan of one series.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plan {
    wish_db: f64,
    next_look: u64,
    planned: Option<u64>,
}

impl Plan {
    /// A plan for bounds of the median that are `wish_db` wide.
    pub const fn new(wish_db: f64) -> Self {
        Self { wish_db, next_look: FIRST_LOOK, planned: None }
    }

    /// Whether the series is as long as planned.
    pub fn is_done(&mut self, series: &Series) -> bool {
        let count = series.count();
        if self.planned.is_none() && count >= self.next_look {
            self.next_look *= 2;
            if effective_batches(series) >= ENOUGH_EFFECTIVE
                && let Some(width) = spread(series)
                    .and_then(|s| s.median_interval)
                    .map(super::spread::Interval::width)
            {
                let times = MARGIN * (width / self.wish_db).powi(2);
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "clamped to a range that fits"
                )]
                let more = (count as f64 * times).clamp(1.0, 1e12) as u64;
                self.planned = Some(more.max(count));
            }
        }
        self.planned.is_some_and(|planned| count >= planned)
    }

    /// How many samples are planned; `None` while the pilot is too short to say.
    pub const fn planned(&self) -> Option<u64> {
        self.planned
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Random;
    use crate::statistics::tests::ar1;

    /// Bounds at the planned end of seeded series: how many hold the truth, and how many are as narrow as wished.
    fn at_the_end(seed: u64, tau: f64, wish_db: f64, series: u32) -> (u32, u32) {
        let mut random = Random::seeded(seed);
        let (mut held, mut narrow) = (0, 0);
        for _ in 0..series {
            let levels = ar1(&mut random, 6_000, (-1.0 / tau).exp(), 4.0, -97.3);
            let mut run = Series::new();
            let mut plan = Plan::new(wish_db);
            for (i, level) in levels.iter().enumerate() {
                run.push(i as f64, *level);
                if i % 5 == 4 && plan.is_done(&run) {
                    break;
                }
            }
            if let Some(i) = spread(&run).unwrap().median_interval {
                held += u32::from(i.low <= -97.3 && -97.3 <= i.high);
                narrow += u32::from(i.width() <= wish_db * 1.5);
            } else {
                held += 1;
            }
        }
        (held, narrow)
    }

    #[test]
    fn bounds_at_the_planned_end_keep_their_promise() {
        // The bench `coverage` has 2,000 series each.
        for (seed, tau) in [(41, 2.0), (42, 10.0)] {
            let (held, narrow) = at_the_end(seed, tau, 3.0, 60);
            assert!(held >= 54, "{held} of 60 at a correlation time of {tau}");
            assert!(narrow >= 54, "{narrow} of 60 at a correlation time of {tau}");
        }
    }
}
