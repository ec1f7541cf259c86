//! `mastside compare`: what changed at a site between two captures or surveys.

use super::{Exit, input};
use crate::capture::Capture;
use crate::case::Case;
use crate::compare;
use crate::report::plain;
use crate::survey::analysis::Analysis;
use crate::verdict::explain;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Tell what changed at a site between two captures or two surveys
///
/// Exit status: 0 nothing is worse, 1 something is, 2 unusable input.
#[derive(clap::Args, Debug)]
pub(super) struct Compare {
    /// The earlier capture or survey
    before: PathBuf,
    /// The later one
    after: PathBuf,
}

impl Compare {
    pub(super) fn run(self) -> Exit {
        let changes = match (is_survey(&self.before), is_survey(&self.after)) {
            (true, true) => match (Analysis::read(&self.before), Analysis::read(&self.after)) {
                (Ok(before), Ok(after)) => compare::surveys(&before, &after),
                (Err(error), _) | (_, Err(error)) => return refuse(&error.to_string()),
            },
            (false, false) => {
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
            _ => return refuse("one is a survey and the other a capture; compare two of a kind"),
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

fn refuse(sentence: &str) -> Exit {
    eprintln!("mastside: {}", plain(sentence));
    Exit::Unusable
}

/// Whether a file begins as a survey does.
fn is_survey(path: &Path) -> bool {
    use std::io::Read;
    let mut start = [0; 16];
    let read = std::fs::File::open(path).and_then(|mut f| f.read(&mut start));
    read.is_ok_and(|n| start[..n].starts_with(b"{\"head\""))
}
