//! `mastside compare`: what changed at a site between two captures, surveys or acceptance records.

use super::{Exit, input, refuse};
use crate::capture::Capture;
use crate::case::Case;
use crate::commission::{Criteria, Record};
use crate::compare::{self, Change, Limits};
use crate::sanitize::plain;
use crate::statistics::FALSE_ALARMS;
use crate::survey::output::SIMULATED;
use crate::survey::visits::{self, Visit};
use crate::verdict::explain;
use std::path::{Path, PathBuf};

/// Tell what changed at a site between two captures, surveys or acceptance records
///
/// Surveys may be files, folders of sites or patterns. With one of them, the latest visit of each site is held
/// against its visits before. A lost registration comes first; levels count as changed where neither chance nor
/// the usual variation between visits explains them and they may have moved by what matters.
///
/// Exit status: 0 nothing is worse, 1 something is, 2 unusable input.
#[derive(clap::Args, Debug)]
pub(super) struct Compare {
    /// The earlier capture, survey or record; or surveys with several visits
    before: PathBuf,
    /// The later one
    after: Option<PathBuf>,
    /// The smallest change of a level that matters, dB; 3 without it
    #[arg(long, value_name = "DB")]
    smallest: Option<f64>,
    /// What levels vary from visit to visit without any cause, dB; without it, what three visits or more show, or 1.5
    #[arg(long, value_name = "DB")]
    between: Option<f64>,
    /// Criteria of an acceptance that say both
    #[arg(long, value_name = "FILE")]
    criteria: Option<PathBuf>,
}

impl Compare {
    pub(super) fn run(self) -> Exit {
        let Some(after) = &self.after else {
            return match visits::read_all(std::slice::from_ref(&self.before)) {
                Ok(all) => self.visits(&all, None),
                Err(error) => refuse(&error.to_string()),
            };
        };
        let changes = match (Kind::of(&self.before), Kind::of(after)) {
            (Kind::Survey, Kind::Survey) => {
                let read = |path: &PathBuf| visits::read_all(std::slice::from_ref(path));
                return match (read(&self.before), read(after)) {
                    (Ok(before), Ok(after)) => self.visits(&before, Some(&after)),
                    (Err(error), _) | (_, Err(error)) => refuse(&error.to_string()),
                };
            }
            (Kind::Record(before), Kind::Record(after)) => compare::records(&before, &after),
            (Kind::Capture, Kind::Capture) => {
                let read = |path: &PathBuf| input::texts(std::slice::from_ref(path));
                let (before, after) = match (read(&self.before), read(after)) {
                    (Ok((before, _)), Ok((after, _))) => (before, after),
                    (Err(error), _) | (_, Err(error)) => return input::refuse(&error),
                };
                let (a, b) =
                    (Case::read(&Capture::new(&before)), Case::read(&Capture::new(&after)));
                let (v, w) = (explain(&a), explain(&b));
                compare::captures((&a, &v), (&b, &w))
            }
            (before, after) => {
                return refuse(&format!(
                    "the earlier one is {}, the later one {}; compare two of a kind",
                    before.words(),
                    after.words()
                ));
            }
        };
        show(&changes, "")
    }

    /// Compares visits; without `after`, the latest one of each site with those before.
    fn visits(&self, before: &[Visit], after: Option<&[Visit]>) -> Exit {
        let limits = match self.limits() {
            Ok(limits) => limits,
            Err(sentence) => return refuse(&sentence),
        };
        before.iter().chain(after.unwrap_or_default()).for_each(super::survey::tell_problems);
        let out = if let Some(after) = after {
            compare::surveys(before, after, limits)
        } else {
            // Visits come by site and then by time: the last of each site is the latest.
            let is_latest =
                |i: usize| before.get(i + 1).is_none_or(|next| next.site != before[i].site);
            let split = |latest: bool| -> Vec<Visit> {
                (0..before.len())
                    .filter(|i| is_latest(*i) == latest)
                    .map(|i| before[i].clone())
                    .collect()
            };
            compare::surveys(&split(false), &split(true), limits)
        };
        let mut notes = String::new();
        if out.simulated {
            notes.push_str(SIMULATED);
            notes.push('\n');
        }
        let from = out.from_visits.map_or_else(
            || {
                if limits.between_db.is_some() {
                    "as given".into()
                } else {
                    "the default: no site has three earlier visits".into()
                }
            },
            |visits| format!("from the history of up to {visits} visits"),
        );
        notes.push_str(&format!(
            "{} comparisons of levels; changes under {} dB do not matter; levels vary by {:.1} dB between visits ({from}); of the changes of level at most {:.0} in 100 are false alarms.\n",
            out.comparisons,
            limits.smallest_db,
            out.between_db,
            FALSE_ALARMS * 100.0
        ));
        if !out.too_short.is_empty() {
            let names: Vec<_> =
                out.too_short.iter().take(5).map(|n| plain(n).into_owned()).collect();
            notes.push_str(&format!(
                "Measured too shortly to compare levels: {}{}.\n",
                names.join("; "),
                if out.too_short.len() > 5 {
                    format!(" and {} more", out.too_short.len() - 5)
                } else {
                    String::new()
                }
            ));
        }
        show(&out.changes, &notes)
    }

    fn limits(&self) -> Result<Limits, String> {
        let criteria = match &self.criteria {
            None => Criteria::default(),
            Some(path) => std::fs::read_to_string(path)
                .map_err(|e| e.to_string())
                .and_then(|text| Criteria::parse(&text))
                .map_err(|e| format!("{}: {e}", path.display()))?,
        };
        let wrong = |v: &f64| !(v.is_finite() && *v >= 0.0);
        if self.smallest.as_ref().is_some_and(wrong) || self.between.as_ref().is_some_and(wrong) {
            return Err("--smallest and --between are 0 dB or more".into());
        }
        let default = Limits::default();
        Ok(Limits {
            smallest_db: self
                .smallest
                .or(criteria.smallest_change_db)
                .unwrap_or(default.smallest_db),
            between_db: self.between.or(criteria.between_visits_db),
        })
    }
}

/// Shows the changes, and ends by whether one is for the worse.
fn show(changes: &[Change], notes: &str) -> Exit {
    let mut page = String::new();
    if changes.is_empty() {
        page.push_str("Nothing that matters changed.\n");
    }
    for change in changes {
        let mark = match change.worse {
            Some(true) => "worse ",
            Some(false) => "better",
            None => "other ",
        };
        page.push_str(&format!(
            "{mark}  {}\n        likeliest reason: {}\n",
            plain(&change.what),
            change.reason
        ));
    }
    if !notes.is_empty() {
        page.push_str(&format!("\n{notes}"));
    }
    match super::print(&page) {
        Ok(()) if changes.iter().any(|c| c.worse == Some(true)) => Exit::Fault,
        Ok(()) => Exit::Done,
        Err(_) => Exit::Unusable,
    }
}

/// What a file holds.
enum Kind {
    /// A survey.
    Survey,
    /// The record of an acceptance.
    Record(Box<Record>),
    /// A capture, or whatever else: reading it says what is wrong.
    Capture,
}

impl Kind {
    fn of(path: &Path) -> Self {
        use std::io::Read;
        // A record is small; a longer file that begins as one is something else.
        const MOST: u64 = 1 << 20;
        // Folders and patterns hold surveys.
        if path.is_dir() || (!path.exists() && path.to_string_lossy().contains(['*', '?'])) {
            return Self::Survey;
        }
        let mut start = Vec::new();
        let read = std::fs::File::open(path).and_then(|f| f.take(MOST).read_to_end(&mut start));
        if read.is_err() {
            return Self::Capture;
        }
        if start.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&start).starts_with(b"{\"head\"") {
            return Self::Survey;
        }
        serde_json::from_slice(&start)
            .map_or(Self::Capture, |record| Self::Record(Box::new(record)))
    }

    const fn words(&self) -> &'static str {
        match self {
            Self::Survey => "a survey",
            Self::Record(_) => "an acceptance record",
            Self::Capture => "a capture",
        }
    }
}
