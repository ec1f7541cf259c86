//! Surveys by site and visit: which samples belong to one visit, and in which files and folders they are.
//!
//! A visit is never mixed with another one: a file with passes of several days, or two files put together, gives
//! several. Lines that cannot be trusted are left out and said with their number.

use super::analysis::Analysis;
use super::check::Check;
use super::file::{FileError, Lines};
use super::sample::{Head, Line, Mark, MarkKind, Sample};
use chrono::{DateTime, NaiveDate, TimeDelta, Utc};
use std::io::BufReader;
use std::path::{Path, PathBuf};

/// Between two passes of one visit at most so much time goes by (common practice, no source).
const LONGEST_BREAK: TimeDelta = TimeDelta::hours(4);

/// What is read from standard input is called so.
const STANDARD_INPUT: &str = "-";

/// The samples of one visit.
#[derive(Clone, Debug)]
pub struct Visit {
    /// The file that they are from.
    pub path: PathBuf,
    /// The site's name: from the file, else the folder's, else the title's, else the file's.
    pub site: String,
    /// The samples, gathered.
    pub analysis: Analysis,
}

impl Visit {
    /// The day of the visit: as the file says, else that of the first sample; `None` without samples.
    pub fn date(&self) -> Option<NaiveDate> {
        let first = self.analysis.time.map(|(from, _)| from.date_naive());
        self.analysis.head.visit.date.or(first)
    }

    /// The moment that orders visits.
    pub fn begins(&self) -> Option<DateTime<Utc>> {
        self.analysis.time.map(|(from, _)| from)
    }
}

/// Reads the visits of a file, `-` for standard input.
///
/// # Errors
///
/// [`FileError`] where the file cannot be opened, is not a survey, or is out of order.
pub fn read(path: &Path) -> Result<Vec<Visit>, FileError> {
    read_with(path, &mut |_, _| {})
}

/// Reads the visits of a file and hands out each sample that can be trusted, with the head that it belongs to.
///
/// # Errors
///
/// As [`read`].
pub fn read_with(
    path: &Path,
    each: &mut dyn FnMut(&Head, &Sample),
) -> Result<Vec<Visit>, FileError> {
    let lines = if path == Path::new(STANDARD_INPUT) {
        Lines::of(Box::new(BufReader::new(std::io::stdin())), path)?
    } else {
        Lines::open(path)?
    };
    gather(lines, path, each)
}

/// The latest visit of a file.
///
/// # Errors
///
/// As [`read`].
pub fn latest(path: &Path) -> Result<Visit, FileError> {
    let mut visits = read(path)?;
    visits.pop().ok_or_else(|| FileError::NotASurvey { path: path.to_owned() })
}

fn gather(
    mut lines: Lines,
    path: &Path,
    each: &mut dyn FnMut(&Head, &Sample),
) -> Result<Vec<Visit>, FileError> {
    let visit =
        |head| Visit { path: path.to_owned(), site: String::new(), analysis: Analysis::new(head) };
    let mut visits = vec![visit(lines.head.clone())];
    let mut check = Check::default();
    let mut last: Option<Sample> = None;
    let (mut misplaced, mut samples) = (0, 0);
    while let Some(line) = lines.next() {
        let Some(now) = visits.last_mut() else { break };
        match line {
            Ok(Line::Sample(sample)) => {
                samples += 1;
                match check.sample(&sample) {
                    Err(what) => now.analysis.problems.add(lines.number(), what),
                    Ok((shift, note)) => {
                        let next_visit = last.as_ref().is_some_and(|before| {
                            before.pass != sample.pass && sample.at - before.at > LONGEST_BREAK
                        });
                        if next_visit {
                            // The date of the head is that of the first visit.
                            let mut head = now.analysis.head.clone();
                            head.visit.date = None;
                            visits.push(visit(head));
                        }
                        if let Some(now) = visits.last_mut() {
                            each(&now.analysis.head, &sample);
                            now.analysis.sample_shifted(&sample, shift);
                            if let Some(note) = note {
                                let (at, text) = (sample.at - shift, note.to_owned());
                                now.analysis.mark(&Mark { at, kind: MarkKind::Note, text });
                            }
                        }
                        last = Some(sample);
                    }
                }
            }
            Ok(Line::Mark(mark)) => now.analysis.mark(&mark),
            Ok(Line::Event(_)) => {}
            // Two files were put together: numbers begin anew.
            Ok(Line::Head(head)) => {
                misplaced += check.misplaced;
                (check, last) = (Check::default(), None);
                if now.analysis.samples == 0 {
                    now.analysis.head = head;
                } else {
                    visits.push(visit(head));
                }
            }
            Err(damaged) => {
                now.analysis.damaged += 1;
                now.analysis.problems.add(damaged.number, damaged.why);
            }
        }
    }
    misplaced += check.misplaced;
    if misplaced >= 10 && misplaced * 20 > samples {
        return Err(FileError::Disordered { path: path.to_owned(), misplaced, samples });
    }
    for visit in &mut visits {
        visit.site = site_of(&visit.analysis.head, path);
    }
    visits.sort_by_key(Visit::begins);
    Ok(visits)
}

/// The name of the site of a file with this head.
pub fn site_of(head: &Head, path: &Path) -> String {
    [&head.site.name, &head.title].into_iter().find(|name| !name.is_empty()).map_or_else(
        || path.file_stem().map_or_else(String::new, |s| s.to_string_lossy().into_owned()),
        Clone::clone,
    )
}

/// The surveys among files, folders and patterns (`sites/*/2026-*.jsonl`), in order; of a folder, all `.jsonl` files
/// in it and below.
///
/// # Errors
///
/// [`FileError::Io`] where a folder cannot be read or a pattern fits no file.
pub fn files(paths: &[PathBuf]) -> Result<Vec<PathBuf>, FileError> {
    let mut found = Vec::new();
    for path in paths {
        if path.is_dir() {
            walk(path, &mut found)?;
        } else if path.exists() || !path.to_string_lossy().contains(['*', '?', '[']) {
            found.push(path.clone());
        } else {
            let fail = |why: String| FileError::Io {
                path: path.clone(),
                source: std::io::Error::new(std::io::ErrorKind::NotFound, why),
            };
            let fits = glob::glob(&path.to_string_lossy()).map_err(|e| fail(e.to_string()))?;
            let before = found.len();
            for fit in fits {
                found.push(fit.map_err(|e| fail(e.to_string()))?);
            }
            if found.len() == before {
                return Err(fail("no file fits this pattern".into()));
            }
        }
    }
    Ok(found)
}

fn walk(folder: &Path, found: &mut Vec<PathBuf>) -> Result<(), FileError> {
    let fail = |source| FileError::Io { path: folder.to_owned(), source };
    let mut entries = std::fs::read_dir(folder)
        .map_err(fail)?
        .map(|entry| entry.map(|e| e.path()))
        .collect::<Result<Vec<_>, _>>()
        .map_err(fail)?;
    entries.sort();
    for path in entries {
        if path.is_symlink() {
            continue;
        }
        if path.is_dir() {
            walk(&path, found)?;
        } else if path.extension().is_some_and(|e| e == "jsonl") {
            found.push(path);
        }
    }
    Ok(())
}

/// Reads all visits of files and folders, by site and then in the order of time.
///
/// A file without a site of its own that lies in a named folder belongs to the site of the folder's name.
///
/// # Errors
///
/// The first file that cannot be used.
pub fn read_all(paths: &[PathBuf]) -> Result<Vec<Visit>, FileError> {
    let mut all = Vec::new();
    for given in paths {
        let files = files(std::slice::from_ref(given))?;
        let folders = given.is_dir() || files.len() > 1;
        for file in files {
            let mut visits = read(&file)?;
            if folders {
                let folder = file.parent().and_then(Path::file_name);
                for visit in visits.iter_mut().filter(|v| v.analysis.head.site.name.is_empty()) {
                    if let Some(folder) = folder {
                        visit.site = folder.to_string_lossy().into_owned();
                    }
                }
            }
            all.append(&mut visits);
        }
    }
    all.sort_by(|a, b| a.site.cmp(&b.site).then(a.begins().cmp(&b.begins())));
    Ok(all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::file::SurveyFile;
    use crate::survey::sample::{FORMAT, SiteHead, tests_sample};

    fn written(path: &Path, head: &Head, samples: &[Sample]) {
        let (mut file, _) = SurveyFile::open(path, head).unwrap();
        for sample in samples {
            file.append(&Line::Sample(sample.clone())).unwrap();
        }
    }

    fn pass(first: u64, pass: u32, days: i64, level: f64) -> Vec<Sample> {
        (0..30)
            .map(|n| {
                let mut sample = tests_sample(first + n);
                sample.at += TimeDelta::days(days) + TimeDelta::seconds(i64::try_from(n).unwrap());
                sample.pass = pass;
                sample.levels.rsrp_dbm = Some(level);
                sample
            })
            .collect()
    }

    #[test]
    fn passes_of_two_days_are_two_visits_and_never_one_median() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("w.jsonl");
        let both = [pass(1, 1, 0, -90.0), pass(31, 2, 7, -110.0)].concat();
        written(&path, &Head::default(), &both);
        let visits = read(&path).unwrap();
        let medians: Vec<f64> = visits
            .iter()
            .map(|v| v.analysis.spots[0].main().unwrap().level().unwrap().median)
            .collect();
        assert_eq!(medians, [-90.0, -110.0]);
        assert_eq!(visits[1].date().unwrap() - visits[0].date().unwrap(), TimeDelta::days(7));
    }

    #[test]
    fn a_folder_holds_sites_and_their_visits() {
        let folder = tempfile::tempdir().unwrap();
        for (site, file, days) in
            [("weir", "b.jsonl", 3), ("weir", "a.jsonl", 9), ("ford", "a.jsonl", 1)]
        {
            std::fs::create_dir_all(folder.path().join(site)).unwrap();
            written(
                &folder.path().join(site).join(file),
                &Head::default(),
                &pass(1, 1, days, -90.0),
            );
        }
        let named = Head {
            site: SiteHead { name: "Lock".into(), ..SiteHead::default() },
            ..Head::default()
        };
        written(&folder.path().join("weir").join("c.jsonl"), &named, &pass(1, 1, 0, -90.0));
        std::fs::write(folder.path().join("weir").join("notes.txt"), "by hand").unwrap();
        let pattern = folder.path().join("w*").join("*.jsonl");
        assert_eq!(files(&[pattern]).unwrap().len(), 3);
        assert!(files(&[folder.path().join("x*")]).is_err());
        let all = read_all(&[folder.path().to_owned()]).unwrap();
        let sites: Vec<_> = all.iter().map(|v| v.site.as_str()).collect();
        assert_eq!(sites, ["Lock", "ford", "weir", "weir"]);
        assert!(all[2].begins() < all[3].begins());
    }

    #[test]
    fn shuffled_lines_are_refused_and_a_byte_order_mark_is_not() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("w.jsonl");
        let mut samples = pass(1, 1, 0, -90.0);
        let line = |l: &Line| serde_json::to_string(l).unwrap() + "\n";
        let head = line(&Line::Head(Head { format: FORMAT, ..Head::default() }));
        let text = |samples: &[Sample]| -> String {
            samples.iter().map(|s| line(&Line::Sample(s.clone()))).collect()
        };
        std::fs::write(&path, format!("\u{feff}{head}{}", text(&samples))).unwrap();
        assert_eq!(latest(&path).unwrap().analysis.samples, 30);
        std::fs::write(&path, format!("{head}{0}{0}", text(&samples))).unwrap();
        let doubled = latest(&path).unwrap().analysis;
        assert_eq!((doubled.samples, doubled.problems.count), (30, 30));
        assert_eq!(
            doubled.problems.first[0].to_string(),
            "line 32: sample 1 is in the file twice; left out"
        );
        samples.reverse();
        std::fs::write(&path, format!("{head}{}", text(&samples))).unwrap();
        let refused = read(&path).unwrap_err().to_string();
        assert!(refused.contains("29 of 30 samples are in the wrong order"), "{refused}");
    }
}
