//! A visit to a site with its modem on the line: begun anew where that is asked for, then watched
//! until its criteria are settled.

use super::criteria::Criteria;
use super::judge::settled_by;
use crate::at::{Client, ClientError};
use crate::live::{BrokenOff, Fresh, Journal, Progress, begin_anew};
use crate::survey::analysis::Analysis;
use crate::survey::sample::Sample;
use std::time::Duration;

/// A modem that needs longer than this to register counts as not registered (common practice, no
/// source: a search over all bands takes up to three minutes).
const REGISTERS_WITHIN: Duration = Duration::from_mins(4);
/// After so many samples without a quantity the modem is taken not to tell it.
const TELLS_WITHIN: u64 = 20;

/// What the record names, beside what an examination asks anyway (TS 27.007 §5.2 to §5.4).
const IDENTITIES: [&str; 4] = ["AT+CGMM", "AT+CGMR", "AT+CGSN", "AT+CCID"];

/// Asks for modem, firmware and card; what a modem does not tell is left out of the record.
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

/// Samples of a visit held against its criteria while they come in.
#[derive(Debug)]
pub struct Watch<'c> {
    criteria: &'c Criteria,
    longest: Duration,
    analysis: Analysis,
}

impl<'c> Watch<'c> {
    /// A watch that ends once more samples would settle nothing, after `longest` at the latest.
    pub fn new(criteria: &'c Criteria, longest: Duration) -> Self {
        Self { criteria, longest, analysis: Analysis::default() }
    }

    /// Takes a sample; says whether more are wanted.
    pub fn take(&mut self, sample: &Sample) -> bool {
        self.analysis.sample(sample);
        let span = self.analysis.time.map_or(0.0, |(from, to)| (to - from).as_seconds_f64());
        span < self.longest.as_secs_f64()
            && !settled_by(self.criteria, &self.analysis, TELLS_WITHIN)
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
            .filter_map(crate::survey::spot::Spot::main)
            .filter(|c| c.rsrp.count() > 0)
            .map(|c| c.rsrp.distribution().quantile(0.5))
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
        assert_eq!(ends(&mark(-120.0), 900, -95.0), 61);
        assert_eq!(ends(&mark(-80.0), 900, -95.0), 61, "sure to be missed is settled, too");
        let near = ends(&mark(-96.7), 900, -95.0);
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
