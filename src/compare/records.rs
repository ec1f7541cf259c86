//! Two acceptance records of one site: outcomes, figures beyond their own bounds, and what was put
//! in between.

use super::Change;
use crate::commission::{Figure, Measured, Outcome, Record};

/// A time that was measured once must grow or shrink by this factor to count; common practice, no source.
const ONCE: f64 = 2.0;

/// What changed from one record to the other.
pub fn records(before: &Record, after: &Record) -> Vec<Change> {
    let mut changes = Vec::new();
    let (a, b) = (&before.site, &after.site);
    for (name, was, is) in [
        ("antenna", &a.antenna, &b.antenna),
        ("height", &a.height, &b.height),
        ("azimuth", &a.azimuth, &b.azimuth),
        ("cable", &a.cable, &b.cable),
    ] {
        if was != is {
            changes.push(other(
                format!("{name}: {} before, {} now", given(was), given(is)),
                "it was changed, or written down in another way",
            ));
        }
    }
    for (name, was) in &before.identities {
        let is = after.identities.iter().find(|(n, _)| n == name).map(|(_, value)| value);
        if let Some(is) = is.filter(|is| *is != was) {
            let reason = match name.as_str() {
                "firmware" => "the firmware was brought up to date, or the modem was changed",
                "ICCID" | "IMSI" => "another card",
                _ => "another modem",
            };
            changes.push(other(format!("{name}: {was} before, {is} now"), reason));
        }
    }
    for was in &before.results {
        match after.results.iter().find(|is| same(was, is, before, after)) {
            Some(is) => result(was, is, &mut changes),
            None => changes.push(other(
                format!("{} was asked for, and is no longer", named(was)),
                "other criteria",
            )),
        }
    }
    for is in &after.results {
        if !before.results.iter().any(|was| same(was, is, before, after)) {
            changes.push(other(
                format!("{} is asked for, and was not: {}", named(is), is.outcome.word()),
                "other criteria",
            ));
        }
    }
    changes
}

/// Whether two results are of one criterion and spot. Records of the first form name no spot: theirs is the only one
/// of the other record.
fn same(was: &Measured, is: &Measured, before: &Record, after: &Record) -> bool {
    let only = |record: &Record| {
        let spots: std::collections::BTreeSet<_> =
            record.results.iter().map(|r| &r.spot).filter(|s| !s.is_empty()).collect();
        spots.len() <= 1
    };
    let spots = was.spot == is.spot
        || (was.spot.is_empty() || is.spot.is_empty()) && only(before) && only(after);
    // The first form said "antenna branches".
    let name = |r: &Measured| r.criterion.replace("antenna branches", "receive branches");
    spots && name(was) == name(is)
}

/// The criterion with its spot.
fn named(result: &Measured) -> String {
    if result.spot.is_empty() {
        return result.criterion.clone();
    }
    format!("{}: {}", result.spot, result.criterion)
}

fn given(text: &str) -> &str {
    if text.is_empty() { "not given" } else { text }
}

fn other(what: String, reason: &'static str) -> Change {
    Change { worse: None, what, reason }
}

fn result(was: &Measured, is: &Measured, changes: &mut Vec<Change>) {
    if was.wanted != is.wanted {
        changes.push(other(
            format!("{}: {} was wanted, and now {}", named(was), was.wanted, is.wanted),
            "other criteria",
        ));
    }
    let moved = was.figure.zip(is.figure).and_then(|(was, is)| moved(was, is));
    if was.outcome == is.outcome && moved.is_none() {
        return;
    }
    let worse = match (was.outcome, is.outcome) {
        _ if moved.is_some() => moved,
        (Outcome::Passed, Outcome::Failed) => Some(true),
        (Outcome::Failed, Outcome::Passed) => Some(false),
        _ => None,
    };
    changes.push(Change {
        worse,
        what: format!(
            "{}: {} ({}) before, {} ({}) now",
            named(is),
            was.measured,
            was.outcome.word(),
            is.measured,
            is.outcome.word()
        ),
        reason: match worse {
            Some(true) => {
                "water in a connector, a turned or damaged antenna, leaves, another cell, or a setting"
            }
            Some(false) => "the antenna, its place, the cell or a setting is better",
            None => "it was measured too shortly, or not at all, on one of the days",
        },
    });
}

/// Whether a figure left its own bounds, and whether that is worse.
fn moved(was: Figure, is: Figure) -> Option<bool> {
    let once = was.low == was.high && is.low == is.high;
    let (up, down) = if once {
        (is.value > was.value * ONCE, is.value * ONCE < was.value)
    } else {
        (is.low > was.high, is.high < was.low)
    };
    match (up, down) {
        (true, _) => Some(!was.more_is_better),
        (_, true) => Some(was.more_is_better),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::commission::{Criteria, Site, record};
    use crate::survey::analysis::Analysis;

    /// A record of ten minutes at this level, dBm, with some fading.
    fn at(level: f64, antenna: &str) -> Record {
        let mut analysis = Analysis::default();
        let mut sample = crate::survey::sample::tests_sample(1);
        for n in 0..600 {
            sample.at += chrono::Duration::seconds(1);
            sample.levels.rsrp_dbm = Some(level + f64::from(n * 7 % 40) / 10.0 - 2.0);
            sample.levels.sinr_db = Some(11.0);
            analysis.sample(&sample);
        }
        let site = Site { antenna: antenna.into(), ..Site::default() };
        record(site, Criteria::shipped(), &analysis, None, &[], String::new())
    }

    #[test]
    fn a_level_beyond_its_bounds_and_another_antenna_are_told() {
        let before = at(-95.0, "panel");
        assert_eq!(records(&before, &before), []);
        let later = records(&before, &at(-103.0, "whip"));
        assert_eq!(later.len(), 2, "{later:?}");
        assert!(later[0].what.contains("antenna: panel before, whip now"));
        assert_eq!(later[1].worse, Some(true));
        let back = records(&at(-103.0, "whip"), &before);
        assert_eq!(back[1].worse, Some(false));
        let failed = records(&before, &at(-118.0, "panel"));
        assert!(
            failed[0].what.contains("(passed) before") && failed[0].what.contains("(failed) now")
        );
    }

    #[test]
    fn times_measured_once_must_double() {
        let time = |value| Figure { value, low: value, high: value, more_is_better: false };
        assert_eq!(moved(time(10.0), time(19.0)), None);
        assert_eq!(moved(time(10.0), time(21.0)), Some(true));
        assert_eq!(moved(time(21.0), time(10.0)), Some(false));
    }
}
