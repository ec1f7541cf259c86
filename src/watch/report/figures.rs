//! The figures that text and page share.

use super::gather::{Day, Outage, Site};
use crate::statistics::{Interval, mean_between, mean_span};
use crate::watch::event::span;
use std::collections::BTreeMap;

/// The confidence of bounds.
const CONFIDENCE: f64 = 0.95;

/// What an outage is counted under: how many, how long together, and a sentence on the last one.
#[derive(Clone, Debug, Default)]
pub(super) struct Cause<'s> {
    pub(super) outages: u64,
    pub(super) seconds: f64,
    pub(super) summary: &'s str,
}

/// The figures of a site.
pub(super) struct Figures<'s> {
    /// All days together.
    pub(super) all: Day,
    /// The mean time between outages, s, and its bounds.
    pub(super) between: (Option<f64>, Interval),
    /// The mean time to repair of the outages whose end was seen, s.
    pub(super) repair: Option<(f64, Interval)>,
    /// By cause, the most time first.
    pub(super) causes: Vec<(String, Cause<'s>)>,
    /// The outages, the longest first.
    pub(super) longest: Vec<&'s Outage>,
    /// The median level before outages, of how many, and that of all time that was well, dBm.
    pub(super) before: Option<(f64, usize, f64)>,
}

impl<'s> Figures<'s> {
    pub(super) fn of(site: &'s Site) -> Self {
        let mut all = Day::default();
        for day in site.days.values() {
            all.well_s += day.well_s;
            all.out_s += day.out_s;
            all.unknown_s += day.unknown_s;
            all.outages += day.outages;
        }
        let over: Vec<f64> =
            site.outages.iter().filter(|o| o.is_over).map(|o| o.lasted_s).collect();
        let mut causes = BTreeMap::<String, Cause<'s>>::new();
        for outage in &site.outages {
            let cause = causes.entry(outage.counts_as()).or_default();
            cause.outages += 1;
            cause.seconds += outage.lasted_s;
            cause.summary = &outage.summary;
        }
        let mut causes: Vec<_> = causes.into_iter().collect();
        causes.sort_by(|a, b| b.1.seconds.total_cmp(&a.1.seconds).then_with(|| a.0.cmp(&b.0)));
        let mut longest: Vec<_> = site.outages.iter().collect();
        longest.sort_by(|a, b| b.lasted_s.total_cmp(&a.lasted_s).then(a.began.cmp(&b.began)));
        let mut before: Vec<f64> = site.outages.iter().filter_map(|o| o.level_before_dbm).collect();
        before.sort_by(f64::total_cmp);
        let before = (!before.is_empty() && site.levels.count() > 0).then(|| {
            let well = site.levels.distribution().quantile(0.5);
            (before[before.len() / 2], before.len(), well)
        });
        Self {
            all,
            between: mean_between(all.well_s, all.outages, CONFIDENCE),
            repair: mean_span(&over, CONFIDENCE),
            causes,
            longest,
            before,
        }
    }

    /// The mean time between outages in words.
    pub(super) fn between_words(&self) -> String {
        match self.between {
            (Some(mean), bounds) => with_bounds(mean, bounds),
            (None, bounds) => format!("no outage, so at least {} (95 %)", span(bounds.low)),
        }
    }

    /// The mean time to repair in words; empty without an outage that is over.
    pub(super) fn repair_words(&self) -> String {
        self.repair.map_or_else(String::new, |(mean, bounds)| with_bounds(mean, bounds))
    }

    /// The level before outages in words; empty where nothing is known.
    pub(super) fn before_words(&self) -> String {
        self.before.map_or_else(String::new, |(before, outages, well)| {
            format!(
                "median {before:.0} dBm in the ten minutes before outages ({outages} with readings), {well:.0} dBm over all time that was well"
            )
        })
    }
}

/// So many outages in words.
pub(super) fn outages(count: u64) -> String {
    if count == 1 { "1 outage".into() } else { format!("{count} outages") }
}

fn with_bounds(mean: f64, bounds: Interval) -> String {
    format!("{} (95 % bounds {} to {})", span(mean), span(bounds.low), span(bounds.high))
}

/// The available share in words.
pub(super) fn share(day: &Day) -> String {
    // Rounded down: 99.999 % is not all the time.
    day.available_percent()
        .map_or_else(|| "-".into(), |p| format!("{:.2} %", (p * 100.0).floor() / 100.0))
}

/// How long an outage lasted, with the doubt about its beginning and end.
pub(super) fn lasted(outage: &Outage) -> String {
    let seen = span(outage.lasted_s);
    match (outage.is_over, outage.earlier_s) {
        (false, _) => format!("{seen} or longer"),
        (true, None) => format!("{seen} or longer, the watch began in it"),
        (true, Some(earlier)) if earlier >= 1.0 && span(outage.lasted_s + earlier) != seen => {
            format!("{seen} to {}", span(outage.lasted_s + earlier))
        }
        (true, Some(_)) => seen,
    }
}

/// What the bounds assume.
pub(super) const ASSUMED: &str = "Bounds hold for outages that come independently at a constant rate, and for repairs that are exponentially distributed (IEC 60605-4). Time that is not known counts for nothing.";
