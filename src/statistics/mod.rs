//! Statistics of levels in dB from one modem, whose samples are correlated in time.
//!
//! | figure | how it is found |
//! | --- | --- |
//! | median, percentiles, their bounds | order statistics in dB; width from the long-run variance of "is below" |
//! | effective samples | the independent samples that would leave the same uncertainty about the median |
//! | too short | fewer than [`LEAST_EFFECTIVE`] independent samples: no bounds, but how long it should be |
//! | linear average | mean of the powers in milliwatts, in dBm again |
//! | drift | straight line over time, against the slow part of the fading |
//! | difference | rank test with effective counts, shift in dB with bounds, variation between visits added |
//! | discoveries | which of many differences count, false alarms controlled |
//! | contingency | whether a trait is more frequent among the failing than among the healthy |
//! | rates | the mean time between events, and of spans, with exact bounds |
//! | plan | how long to measure for bounds of a wished width |
//!
//! Everything is found from [`Series`], which holds a fixed number of batches however many samples
//! it has seen, so memory does not grow with the length of a survey. Medians and percentiles are
//! exact to the tenth of a dB, because batches count values, not moments.

mod contingency;
mod correlation;
mod difference;
mod distribution;
mod longrun;
mod multiplicity;
mod plan;
mod rates;
mod series;
mod spread;
mod student;

pub use contingency::{Table, chance_of_more, chance_within, share_bounds};
pub use correlation::{ENOUGH_EFFECTIVE, LEAST_EFFECTIVE};
pub use difference::{Difference, difference};
pub use distribution::Distribution;
pub use multiplicity::{FALSE_ALARMS, discoveries};
pub use plan::Plan;
pub use rates::{mean_between, mean_span};
pub use series::Series;
pub use spread::{Drift, Effective, Interval, Spread, percentile, percentile_bounds, spread};
pub use student::{student_cdf, student_quantile};

#[cfg(test)]
mod tests;
