//! The survey file: JSON Lines, one line a sample, kept through a kill at any byte.
//!
//! A line is written with its line end in one write and synced before the sample counts as
//! recorded. A line without its end was never shown as recorded: opening cuts it off and says so.
//! Damaged lines further up are left in place, skipped and reported with their number.

use super::sample::{FORMAT, Head, Line, Sample};
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, BufRead, BufReader, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

/// Why a survey file cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum FileError {
    /// The system refused.
    #[error("cannot use the survey file {path:?}: {source}")]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Another program records into it.
    #[error("another program is recording into {path:?}: end that one, or choose another file")]
    Busy {
        /// The file.
        path: PathBuf,
    },
    /// It is a device or a folder.
    #[error("{path:?} is no file: the survey file comes first, the modem's port behind it")]
    NotAFile {
        /// What was named.
        path: PathBuf,
    },
    /// Its first line is not a survey's.
    #[error("{path:?} does not begin like a survey file: choose another file, nothing was changed")]
    NotASurvey {
        /// The file.
        path: PathBuf,
    },
    /// A newer program wrote it.
    #[error("{path:?} has form {found}, this program reads form {FORMAT}: use the newer program")]
    Newer {
        /// The file.
        path: PathBuf,
        /// The form that stands there.
        found: u32,
    },
}

/// What was found when an existing file was opened for more samples.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Found {
    /// Samples that are there.
    pub samples: u64,
    /// The last pass.
    pub pass: u32,
    /// Bytes of an unfinished last line that were cut off.
    pub torn_bytes: u64,
    /// Lines that could not be read.
    pub damaged: u64,
}

/// A survey file open for more samples; no other program can record into it meanwhile.
#[derive(Debug)]
pub struct SurveyFile {
    file: File,
    path: PathBuf,
    number: u64,
}

impl SurveyFile {
    /// Opens or creates the file, cuts a torn tail, and finds what is there.
    ///
    /// # Errors
    ///
    /// [`FileError`] where the system refuses, another program records, or the file is not a survey.
    pub fn open(path: &Path, head: &Head) -> Result<(Self, Found), FileError> {
        let fail = |source| FileError::Io { path: path.to_owned(), source };
        no_device(path)?;
        let file =
            OpenOptions::new().read(true).append(true).create(true).open(path).map_err(fail)?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => return Err(FileError::Busy { path: path.to_owned() }),
            Err(TryLockError::Error(source)) => return Err(fail(source)),
        }
        let mut survey = Self { file, path: path.to_owned(), number: 0 };
        let (whole, mut found) = survey.look().map_err(fail)?;
        let all = survey.file.metadata().map_err(fail)?.len();
        if whole > 0 {
            // Only a file that is surely a survey is ever shortened.
            let mut lines = Lines::open(path)?;
            for line in &mut lines {
                if let Ok(Line::Sample(sample)) = line {
                    found.samples += 1;
                    found.pass = found.pass.max(sample.pass);
                    survey.number = survey.number.max(sample.number);
                }
            }
            found.damaged = lines.damaged;
        } else if all > 0 && !survey.begins_like_a_head(all).map_err(fail)? {
            return Err(FileError::NotASurvey { path: path.to_owned() });
        }
        if all > whole {
            found.torn_bytes = all - whole;
            survey.file.set_len(whole).map_err(fail)?;
            survey.file.sync_data().map_err(fail)?;
        }
        if whole == 0 {
            survey.append(&Line::Head(Head { format: FORMAT, ..head.clone() })).map_err(fail)?;
        }
        Ok((survey, found))
    }

    /// The bytes up to the last line end.
    fn look(&mut self) -> io::Result<(u64, Found)> {
        let all = self.file.metadata()?.len();
        let mut end = all;
        let mut block = vec![0; 65_536];
        while end > 0 {
            let size = end.min(65_536);
            let part = &mut block[..usize::try_from(size).unwrap_or(65_536)];
            self.file.seek(SeekFrom::Start(end - size))?;
            self.file.read_exact(part)?;
            if let Some(at) = memchr::memrchr(b'\n', part) {
                return Ok((end - size + at as u64 + 1, Found::default()));
            }
            end -= size;
        }
        Ok((0, Found::default()))
    }

    /// Whether the only, torn line is the start of a head.
    fn begins_like_a_head(&mut self, all: u64) -> io::Result<bool> {
        const START: &[u8] = b"{\"head\":{\"format\":";
        let mut text = Vec::new();
        self.file.seek(SeekFrom::Start(0))?;
        (&mut self.file).take(all.min(START.len() as u64)).read_to_end(&mut text)?;
        Ok(START.starts_with(&text))
    }

    /// The number that the next sample carries.
    pub fn next_number(&self) -> u64 {
        self.number + 1
    }

    /// Writes a line and returns once it is on the disk.
    ///
    /// # Errors
    ///
    /// What the system says. A line that was written in part is cut off at the next opening.
    pub fn append(&mut self, line: &Line) -> io::Result<()> {
        let mut text = serde_json::to_vec(line)?;
        text.push(b'\n');
        self.file.write_all(&text)?;
        self.file.sync_data()?;
        if let Line::Sample(Sample { number, .. }) = line {
            self.number = self.number.max(*number);
        }
        Ok(())
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }
}

/// A modem's port that is named in the place of the file is neither written to nor waited for.
///
/// # Errors
///
/// [`FileError::NotAFile`] where something else than a file stands there.
pub fn no_device(path: &Path) -> Result<(), FileError> {
    match std::fs::metadata(path) {
        Ok(found) if !found.is_file() => Err(FileError::NotAFile { path: path.to_owned() }),
        _ => Ok(()),
    }
}

/// A line that could not be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("line {number} is damaged and was left out: {why}")]
pub struct Damaged {
    /// Its number, from 1.
    pub number: u64,
    /// What the reader says.
    pub why: String,
}

/// The lines of a survey file, read one after the other; a torn last line is left out in silence.
#[derive(Debug)]
pub struct Lines {
    file: BufReader<File>,
    line: Vec<u8>,
    number: u64,
    /// Lines that could not be read so far.
    pub damaged: u64,
    /// The first line.
    pub head: Head,
    path: PathBuf,
}

/// A longer line is damage: the longest sample with all neighbours stays far below.
const LONGEST: u64 = 1 << 20;

impl Lines {
    /// Opens a file and reads its head.
    ///
    /// # Errors
    ///
    /// [`FileError`] where the system refuses or the first line is not a survey's.
    pub fn open(path: &Path) -> Result<Self, FileError> {
        let fail = |source| FileError::Io { path: path.to_owned(), source };
        no_device(path)?;
        let file = BufReader::with_capacity(1 << 18, File::open(path).map_err(fail)?);
        let mut lines = Self {
            file,
            line: Vec::new(),
            number: 0,
            damaged: 0,
            head: Head::default(),
            path: path.to_owned(),
        };
        match lines.step().map_err(fail)? {
            Some(Ok(Line::Head(head))) if head.format <= FORMAT => lines.head = head,
            Some(Ok(Line::Head(head))) => {
                return Err(FileError::Newer { path: path.to_owned(), found: head.format });
            }
            _ => return Err(FileError::NotASurvey { path: path.to_owned() }),
        }
        Ok(lines)
    }

    fn step(&mut self) -> io::Result<Option<Result<Line, Damaged>>> {
        self.line.clear();
        let read = (&mut self.file).take(LONGEST).read_until(b'\n', &mut self.line)?;
        if read == 0 {
            return Ok(None);
        }
        self.number += 1;
        if self.line.last() != Some(&b'\n') {
            let cut = read as u64 == LONGEST;
            if !cut {
                return Ok(None);
            }
            self.file.skip_until(b'\n')?;
            return Ok(Some(Err(Damaged {
                number: self.number,
                why: "it is longer than a line can be".to_owned(),
            })));
        }
        Ok(Some(
            serde_json::from_slice(&self.line)
                .map_err(|e| Damaged { number: self.number, why: e.to_string() }),
        ))
    }
}

impl Iterator for Lines {
    type Item = Result<Line, Damaged>;

    fn next(&mut self) -> Option<Self::Item> {
        let next = match self.step() {
            Ok(next) => next?,
            Err(e) => {
                // Nothing more can be had from a file that fails; the count tells that something is missing.
                self.file = BufReader::new(File::open("/dev/null").ok()?);
                Err(Damaged {
                    number: self.number + 1,
                    why: format!("reading {} failed: {e}", self.path.display()),
                })
            }
        };
        self.damaged += u64::from(next.is_err());
        Some(next)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::sample::{
        Cell, Levels, Mark, MarkKind, Neighbour, Position, tests_sample as sample,
    };
    use chrono::{DateTime, Utc};
    use proptest::prelude::*;

    fn written(folder: &Path, samples: u64) -> PathBuf {
        let path = folder.join("walk.survey");
        let (mut file, _) = SurveyFile::open(&path, &Head::default()).unwrap();
        for n in 1..=samples {
            file.append(&Line::Sample(sample(n))).unwrap();
        }
        path
    }

    #[test]
    fn a_file_cut_at_any_byte_opens_and_keeps_every_whole_line() {
        let folder = tempfile::tempdir().unwrap();
        let path = written(folder.path(), 3);
        let whole = std::fs::read(&path).unwrap();
        for cut in 0..whole.len() {
            std::fs::write(&path, &whole[..cut]).unwrap();
            let ends = whole[..cut].iter().filter(|b| **b == b'\n').count() as u64;
            let (mut file, found) = SurveyFile::open(&path, &Head::default()).unwrap();
            assert_eq!(found.samples, ends.saturating_sub(1), "cut at {cut}");
            let number = file.next_number();
            file.append(&Line::Sample(sample(number))).unwrap();
            drop(file);
            let lines: Vec<_> = Lines::open(&path).unwrap().collect();
            assert!(lines.iter().all(Result::is_ok), "cut at {cut}");
            assert_eq!(lines.len() as u64, found.samples + 1);
        }
    }

    #[test]
    fn a_file_of_another_kind_is_refused_and_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("letter.txt");
        for text in ["Dear reader", "Dear reader\nno survey", "{\"head\":{\"format\":9}}\n"] {
            std::fs::write(&path, text).unwrap();
            assert!(SurveyFile::open(&path, &Head::default()).is_err());
            assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
        }
    }

    #[test]
    fn two_programs_cannot_record_into_one_file() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("walk.survey");
        let (_held, _) = SurveyFile::open(&path, &Head::default()).unwrap();
        assert!(matches!(SurveyFile::open(&path, &Head::default()), Err(FileError::Busy { .. })));
    }

    #[test]
    fn a_damaged_line_is_told_with_its_number_and_the_rest_is_read() {
        let folder = tempfile::tempdir().unwrap();
        let path = written(folder.path(), 1);
        let mut text = std::fs::read(&path).unwrap();
        text.extend_from_slice(b"\xff\x00 not a line\n");
        text.extend_from_slice(&serde_json::to_vec(&Line::Sample(sample(2))).unwrap());
        text.push(b'\n');
        std::fs::write(&path, &text).unwrap();
        let mut lines = Lines::open(&path).unwrap();
        let read: Vec<_> = (&mut lines).collect();
        assert_eq!(read[1].as_ref().unwrap_err().number, 3);
        assert_eq!((read.len(), lines.damaged), (3, 1));
    }

    prop_compose! {
        fn samples()(
            number in 1u64..1 << 50, ms in 0i64..4_000_000_000_000, spot in ".{0,30}", pass in 1u32..99,
            place in prop::option::of((-900_000_000i32..900_000_000, -1_800_000_000i32..1_800_000_000, prop::option::of(0u16..1000))),
            rsrp in prop::option::of(-160i32..-20), heading in prop::option::of(0u16..3600),
            cell_id in prop::option::of(0u64..1 << 36), tac in "[0-9A-F]{0,4}", heard in 0usize..4,
        ) -> Sample {
            Sample {
                number,
                at: DateTime::<Utc>::from_timestamp_millis(ms).unwrap(),
                spot,
                pass,
                position: place.map(|(north, east, accuracy)| Position { latitude: f64::from(north) / 1e7, longitude: f64::from(east) / 1e7, altitude_m: None, accuracy_m: accuracy.map(|a| f64::from(a) / 10.0) }),
                heading_deg: heading.map(|h| f64::from(h) / 10.0),
                cell: Cell { cell_id, tac_hex: tac, ..Cell::default() },
                levels: Levels { rsrp_dbm: rsrp.map(f64::from), ..Levels::default() },
                registration: Some(5),
                branches_dbm: vec![Some(-97.0), None],
                neighbours: vec![Neighbour { pci: Some(3), channel: None, rsrp_dbm: Some(-101.5) }; heard],
                bandwidth_mhz: Some(1.4),
                took_ms: 7,
            }
        }
    }

    proptest! {
        #[test]
        fn a_line_that_is_written_is_read_back(sample in samples(), text in ".{0,40}") {
            let mark = Line::Mark(Mark { at: sample.at, kind: MarkKind::Note, text });
            for line in [Line::Sample(sample), mark] {
                let text = serde_json::to_string(&line).unwrap();
                prop_assert!(!text.contains('\n'));
                prop_assert_eq!(serde_json::from_str::<Line>(&text).unwrap(), line);
            }
        }
    }
}
