//! A survey file as one record: the whole survey judged by the same rules as any other text.
//!
//! Levels are the medians over all samples, the registration is the state of most of them: one moment of fading, or
//! one sample between two cells, says little about a site.

use super::attributes;
use super::judge::Judge;
use super::record::{Place, on_earth};
use super::row::{Row, RowEvidence};
use crate::case::{Case, Cell, Domain, Fact, Quantity, Registration, ReportedBy};
use crate::rules::Site;
use crate::span::Span;
use crate::survey::file::Lines;
use crate::survey::reading::is_registered;
use crate::survey::sample::{Line, Sample};
use crate::verdict::Verdict;
use std::collections::BTreeMap;
use std::path::Path;

/// The row of a survey file; `place` is that of the file, for what the survey itself does not say.
pub(super) fn row(judge: &Judge<'_>, path: &Path, mut place: Place) -> Row {
    let mut lines = match Lines::open(path) {
        Ok(lines) => lines,
        Err(error) => return Row::unusable(&place, error.to_string()),
    };
    let mut whole = Whole::default();
    let mut last: Option<(u64, Sample)> = None;
    while let Some(line) = lines.next() {
        if let Ok(Line::Sample(sample)) = line {
            whole.add(&sample);
            last = Some((lines.number(), sample));
        }
    }
    let head = lines.head;
    if !head.site.name.is_empty() {
        place.site = head.site.name.into();
    }
    let Some((number, sample)) = last else {
        return Row::unusable(&place, "the survey has no sample");
    };
    place.at = sample.at.to_rfc3339().into();
    let here = sample.position.map(|p| (p.latitude, p.longitude));
    place.position = head.site.latitude.zip(head.site.longitude).or(here).filter(|p| on_earth(*p));
    let case = whole.case();
    let verdict = Verdict::reach(&Site::with(&case, None, judge.basis.profiles));
    let mut row = Row::of(&place);
    row.finding = Some(verdict.id().into());
    row.kind_of = verdict.root().and_then(|j| j.rule.kind_of).map(|listed| listed.id.into());
    row.certainty = Some(verdict.certainty.word().into());
    row.acts = Some(verdict.acts.word().into());
    row.summary = Some(verdict.summary.clone());
    row.evidence = verdict.root().and_then(|j| j.evidence().first()).map(|evidence| RowEvidence {
        line: usize::try_from(number).unwrap_or(0),
        text: whole.words(),
        says: evidence.says.to_string(),
    });
    attributes::add(&case, str::to_owned, &mut row);
    row
}

/// What all samples of a survey say together. Memory grows with the different values, not with the samples.
#[derive(Debug, Default)]
struct Whole {
    samples: u64,
    /// How many samples had each registration state (TS 27.007 §10.1.22).
    states: BTreeMap<u8, u64>,
    /// How many samples had each level, in tenths.
    levels: [BTreeMap<i32, u64>; QUANTITIES.len()],
}

/// The levels of a sample that are judged.
const QUANTITIES: [Quantity; 4] = [Quantity::Rsrp, Quantity::Rsrq, Quantity::Sinr, Quantity::Rssi];

impl Whole {
    fn add(&mut self, sample: &Sample) {
        self.samples += 1;
        if let Some(state) = sample.registration {
            *self.states.entry(state).or_default() += 1;
        }
        let levels = &sample.levels;
        let values = [levels.rsrp_dbm, levels.rsrq_db, levels.sinr_db, levels.rssi_dbm];
        for (counts, value) in self.levels.iter_mut().zip(values) {
            if let Some(value) = value.filter(|v| v.abs() < 1000.0) {
                #[expect(clippy::cast_possible_truncation, reason = "below 10,000 tenths")]
                let tenths = (value * 10.0).round() as i32;
                *counts.entry(tenths).or_default() += 1;
            }
        }
    }

    /// The samples that were registered, and those that tell whether they were.
    fn registered(&self) -> (u64, u64) {
        let registered = self.states.iter().filter(|(state, _)| is_registered(**state));
        (registered.map(|(_, count)| count).sum(), self.states.values().sum())
    }

    /// The state of most samples, of those that were registered if half of them were, else of the others.
    fn state(&self) -> Option<u8> {
        let (registered, of) = self.registered();
        let mostly = registered * 2 >= of;
        let alike = self.states.iter().filter(|(state, _)| is_registered(**state) == mostly);
        alike.max_by_key(|(_, count)| **count).map(|(state, _)| *state)
    }

    fn case(&self) -> Case {
        let mut case = Case::default();
        let mut add = |fact| case.add(fact, Span::new(0, 0), None, ReportedBy::Modem);
        if let Some(stat) = self.state() {
            let domain = Domain::Eps;
            add(Fact::Registration(Registration { domain, stat, act: None, unsolicited: false }));
        }
        for (quantity, counts) in QUANTITIES.into_iter().zip(&self.levels) {
            if let Some(value) = median(counts) {
                add(Fact::number(quantity, value, Cell::Serving));
            }
        }
        case
    }

    /// What was judged, in words.
    fn words(&self) -> String {
        let mut words = match self.samples {
            1 => "1 sample".to_owned(),
            n => format!("{n} samples"),
        };
        if let Some(level) = median(&self.levels[0]) {
            words.push_str(&format!(", median RSRP {level:.1} dBm"));
        }
        if let (registered, of @ 1..) = self.registered() {
            let percent = 100.0 * registered as f64 / of as f64;
            words.push_str(&format!(", registered in {percent:.0} %"));
        }
        words
    }
}

/// The middle of the counted values, given in tenths.
fn median(counts: &BTreeMap<i32, u64>) -> Option<f64> {
    let all: u64 = counts.values().sum();
    let nth = |n: u64| {
        let mut before = 0;
        counts.iter().find_map(|(value, count)| {
            before += count;
            (n < before).then_some(f64::from(*value))
        })
    };
    Some(nth(all.checked_sub(1)? / 2)?.midpoint(nth(all / 2)?) / 10.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::carrier::ProfileStore;
    use crate::explanation::{Basis, View};
    use crate::survey::sample::{Head, tests_sample};
    use std::io::Write;

    /// The row of a survey of samples with these states and levels.
    fn judged(samples: &[(u8, f64)]) -> Row {
        let mut file = tempfile::NamedTempFile::new().unwrap();
        writeln!(file, "{}", serde_json::to_string(&Line::Head(Head::default())).unwrap()).unwrap();
        for (n, (state, level)) in (1..).zip(samples) {
            let mut sample = tests_sample(n);
            sample.registration = Some(*state);
            sample.levels.rsrp_dbm = Some(*level);
            writeln!(file, "{}", serde_json::to_string(&Line::Sample(sample)).unwrap()).unwrap();
        }
        let profiles = ProfileStore::default();
        let judge = Judge { basis: Basis::of(&profiles), view: View::default() };
        row(&judge, file.path(), Place::default())
    }

    #[test]
    fn one_last_sample_does_not_decide() {
        let mut samples = vec![(3, -85.0); 9];
        samples.push((1, -85.0));
        let denied = judged(&samples);
        assert_eq!(denied.finding.as_deref(), Some("registration/denied"), "{denied:?}");
        let says = denied.evidence.unwrap().text;
        assert_eq!(says, "10 samples, median RSRP -85.0 dBm, registered in 10 %");
        samples.reverse();
        assert_eq!(judged(&samples).finding.as_deref(), Some("registration/denied"));
    }

    #[test]
    fn levels_are_medians() {
        let row = judged(&[(1, -140.0), (1, -98.0), (1, -97.0), (1, -96.0), (1, -95.0)]);
        assert_eq!(row.levels["rsrp_dbm"], -97.0);
        let even = BTreeMap::from([(-980, 1), (-970, 1)]);
        assert_eq!(median(&even), Some(-97.5));
        assert_eq!(median(&BTreeMap::new()), None);
    }
}
