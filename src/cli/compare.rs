//! `mastside compare`: what changed at a site between two captures, surveys or acceptance records.

use super::{Exit, input, refuse};
use crate::capture::Capture;
use crate::case::Case;
use crate::commission::Record;
use crate::compare;
use crate::sanitize::plain;
use crate::survey::visits;
use crate::verdict::explain;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Tell what changed at a site between two captures, surveys or acceptance records
///
/// Exit status: 0 nothing is worse, 1 something is, 2 unusable input.
#[derive(clap::Args, Debug)]
pub(super) struct Compare {
    /// The earlier capture, survey or record
    before: PathBuf,
    /// The later one
    after: PathBuf,
}

impl Compare {
    pub(super) fn run(self) -> Exit {
        let changes = match (Kind::of(&self.before), Kind::of(&self.after)) {
            (Kind::Survey, Kind::Survey) => {
                match (visits::latest(&self.before), visits::latest(&self.after)) {
                    (Ok(before), Ok(after)) => compare::surveys(&before.analysis, &after.analysis),
                    (Err(error), _) | (_, Err(error)) => return refuse(&error.to_string()),
                }
            }
            (Kind::Record(before), Kind::Record(after)) => compare::records(&before, &after),
            (Kind::Capture, Kind::Capture) => {
                let read = |path: &PathBuf| input::texts(std::slice::from_ref(path));
                let (before, after) = match (read(&self.before), read(&self.after)) {
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
        let mut page = String::new();
        if changes.is_empty() {
            page.push_str("Nothing that matters changed.\n");
        }
        for change in &changes {
            let mark = match change.worse {
                Some(true) => "worse ",
                Some(false) => "better",
                None => "other ",
            };
            // Writing to a string cannot fail.
            let _ = writeln!(page, "{mark}  {}", plain(&change.what));
            let _ = writeln!(page, "        likeliest reason: {}", change.reason);
        }
        match super::print(&page) {
            Ok(()) if changes.iter().any(|c| c.worse == Some(true)) => Exit::Fault,
            Ok(()) => Exit::Done,
            Err(_) => Exit::Unusable,
        }
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
        let mut start = Vec::new();
        let read = std::fs::File::open(path).and_then(|f| f.take(MOST).read_to_end(&mut start));
        if read.is_err() {
            return Self::Capture;
        }
        if start.starts_with(b"{\"head\"") {
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
