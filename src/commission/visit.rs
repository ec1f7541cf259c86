//! A visit to a site with its modem on the line: begun anew where that is asked for, then watched
//! until its criteria are settled.

use super::criteria::Criteria;
use crate::at::{Client, ClientError};
use crate::live::{BrokenOff, Fresh, Journal, Progress, begin_anew};
use crate::statistics::{ENOUGH_EFFECTIVE, percentile, percentile_bounds, spread};
use crate::survey::analysis::Analysis;
use crate::survey::sample::Sample;
use std::time::Duration;

/// A modem that needs longer than this to register counts as not registered (common practice, no
/// source: a search over all bands takes up to three minutes).
const REGISTERS_WITHIN: Duration = Duration::from_mins(4);
/// After so many samples without a quantity the modem is taken not to report it.
const TELLS_WITHIN: u64 = 20;

/// What the record names, beside what an examination asks anyway (TS 27.007 §5.2 to §5.4).
const IDENTITIES: [&str; 4] = ["AT+CGMM", "AT+CGMR", "AT+CGSN", "AT+CCID"];

/// Asks for modem, firmware and card; what a modem does not report is left out of the record.
///
/// # Errors
///
/// As the line.
pub fn identify(client: &mut Client<'_>, progress: &mut dyn Progress) -> Result<(), ClientError> {
    for command in IDENTITIES {
        progress.asking(command);
        client.ask(command)?;
    }
    Ok(())
}

/// Restarts the modem and makes a fresh attach, each where it is asked for: the link drops.
///
/// # Errors
///
/// As the line.
pub fn begin_anew_by_name(
    client: &mut Client<'_>,
    restart: bool,
    reattach: bool,
    journal: &Journal,
    progress: &mut dyn Progress,
) -> Result<(), BrokenOff> {
    for (fresh, wanted) in [(Fresh::Restart, restart), (Fresh::Attach, reattach)] {
        if wanted {
            // Whether it registered stands in the dialogue, from which it is judged.
            begin_anew(client, fresh, REGISTERS_WITHIN, journal, progress)?;
        }
    }
    Ok(())
}

/// At the first look only a level that lies beyond its mark with this confidence ends the watch.
const FIRST_LOOK: f64 = 0.99;

/// Bounds as wide as this are enough where the criteria do not say what matters, dB (common practice, no source).
const ENOUGH_DB: f64 = 3.0;

/// Samples of a visit held against its criteria while they come in.
///
/// Whoever looks after each sample whether the bounds lie beyond the mark decides by luck. Here is one look when
/// time and number are reached, with stricter bounds; from it the length of the watch is fixed once, from the
/// spread of the levels alone, and the record is made of what was measured then.
#[derive(Debug)]
pub struct Watch<'c> {
    criteria: &'c Criteria,
    longest: Duration,
    analysis: Analysis,
    next_look: u64,
    planned: Option<u64>,
}

impl<'c> Watch<'c> {
    /// A watch that ends as planned, after `longest` at the latest.
    pub fn new(criteria: &'c Criteria, longest: Duration) -> Self {
        Self {
            criteria,
            longest,
            analysis: Analysis::default(),
            next_look: TELLS_WITHIN,
            planned: None,
        }
    }

    /// Takes a sample; says whether more are wanted.
    pub fn take(&mut self, sample: &Sample) -> bool {
        self.analysis.sample(sample);
        let span = self.analysis.time.map_or(0.0, |(from, to)| (to - from).as_seconds_f64());
        span < self.longest.as_secs_f64() && !self.is_done()
    }

    fn is_done(&mut self) -> bool {
        let samples = self.analysis.samples;
        if self.analysis.watched_s < self.criteria.hold_seconds.unwrap_or(0.0)
            || samples < self.criteria.samples.unwrap_or(0)
        {
            return false;
        }
        if let Some(planned) = self.planned {
            return samples >= planned;
        }
        if samples < self.next_look {
            return false;
        }
        self.next_look = samples * 2;
        match self.more_samples() {
            // Too short to plan: looked at again when twice as much is there.
            None => false,
            Some(planned) => {
                self.planned = Some(planned);
                samples >= planned
            }
        }
    }

    /// How many samples the level criteria ask for; `None` while there are too few to say.
    fn more_samples(&self) -> Option<u64> {
        let samples = self.analysis.samples;
        let wish_db = self.criteria.smallest_change_db.filter(|d| *d > 0.0).unwrap_or(ENOUGH_DB);
        let mut planned = samples;
        for spot in &self.analysis.spots {
            for level in &self.criteria.level {
                let series = level.of.series(&spot.used);
                if series.count() == 0 {
                    // What the modem does not report by now will not come.
                    continue;
                }
                let share = level.percentile / 100.0;
                let (_, bounds) = percentile(series, share)?;
                let width = bounds?.width();
                let strict = percentile_bounds(series, share, FIRST_LOOK);
                if strict.is_some_and(|i| i.low >= level.at_least || i.high < level.at_least) {
                    continue;
                }
                spread(series)?.effective.filter(|n| n.count >= ENOUGH_EFFECTIVE)?;
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "clamped to a range that fits"
                )]
                let wanted = (samples as f64 * (width / wish_db).powi(2)).clamp(1.0, 1e12) as u64;
                planned = planned.max(wanted);
            }
        }
        Some(planned)
    }

    /// How far it is, in a line.
    pub fn line(&self) -> String {
        let seconds = self.analysis.watched_s;
        let hold =
            self.criteria.hold_seconds.map_or_else(String::new, |wanted| format!(" of {wanted}"));
        let samples =
            self.criteria.samples.map_or_else(String::new, |wanted| format!(" of {wanted}"));
        let level = self
            .analysis
            .spots
            .iter()
            .filter(|s| s.used.rsrp.count() > 0)
            .map(|s| s.used.rsrp.distribution().quantile(0.5))
            .next_back()
            .map_or_else(String::new, |m| format!(", median {m:.1} dBm"));
        format!("watched {seconds:.0}{hold} s, {}{samples} samples{level}", self.analysis.samples)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::commission::{Level, Measure};

    fn sample(n: u64, level: f64) -> Sample {
        let mut sample = crate::survey::sample::tests_sample(n);
        sample.at += chrono::Duration::seconds(i64::try_from(n).unwrap());
        sample.levels.rsrp_dbm = Some(level);
        sample.levels.sinr_db = None;
        sample
    }

    /// After how many samples the watch ends; levels spread over 4 dB around `level`.
    fn ends(criteria: &Criteria, longest: u64, level: f64) -> u64 {
        let mut watch = Watch::new(criteria, Duration::from_secs(longest));
        (1..5000)
            .find(|n| !watch.take(&sample(*n, level + (n * 7 % 40) as f64 / 10.0 - 2.0)))
            .unwrap()
    }

    #[test]
    fn it_ends_when_the_criteria_are_settled_and_not_before_the_wanted_time() {
        let mark = |at_least| Criteria {
            level: vec![Level { of: Measure::Rsrp, percentile: 10.0, at_least }],
            hold_seconds: Some(60.0),
            ..Criteria::default()
        };
        // At 61 samples a tenth percentile has no bounds yet: looked at again at twice as many.
        assert_eq!(ends(&mark(-120.0), 900, -95.0), 122);
        assert_eq!(ends(&mark(-80.0), 900, -95.0), 122, "sure to be missed is settled, too");
        let near = Criteria { smallest_change_db: Some(0.5), ..mark(-96.7) };
        let near = ends(&near, 900, -95.0);
        assert!(near > 100, "{near}: too near to the mark to tell early");
    }

    #[test]
    fn what_the_modem_never_tells_does_not_hold_it_up_and_the_longest_time_ends_it() {
        let never = Criteria {
            level: vec![Level { of: Measure::Sinr, percentile: 50.0, at_least: 3.0 }],
            samples: Some(30),
            ..Criteria::default()
        };
        assert_eq!(ends(&never, 900, -95.0), 30);
        let long = Criteria { hold_seconds: Some(3600.0), ..Criteria::default() };
        assert_eq!(ends(&long, 90, -95.0), 91);
    }
}
