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
    /// Its lines are not in the order of time.
    #[error(
        "{path:?}: {misplaced} of {samples} samples are in the wrong order, and bounds need the order of time: sort the lines by their `number`"
    )]
    Disordered {
        /// The file.
        path: PathBuf,
        /// Samples behind a later one.
        misplaced: u64,
        /// All samples.
        samples: u64,
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
        Read::by_ref(&mut self.file).take(all.min(START.len() as u64)).read_to_end(&mut text)?;
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
pub struct Lines {
    file: Box<dyn BufRead>,
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
        Self::of(Box::new(file), path)
    }

    /// Reads lines from anywhere; `path` is what they are called.
    ///
    /// # Errors
    ///
    /// As [`Lines::open`].
    pub fn of(mut file: Box<dyn BufRead>, path: &Path) -> Result<Self, FileError> {
        let fail = |source| FileError::Io { path: path.to_owned(), source };
        // Some editors put a byte-order mark before the first line.
        if file.fill_buf().map_err(fail)?.starts_with(b"\xef\xbb\xbf") {
            file.consume(3);
        }
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

    /// The number of the line that was read last, from 1.
    pub fn number(&self) -> u64 {
        self.number
    }

    fn step(&mut self) -> io::Result<Option<Result<Line, Damaged>>> {
        self.line.clear();
        let read = Read::by_ref(&mut self.file).take(LONGEST).read_until(b'\n', &mut self.line)?;
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
                self.file = Box::new(io::empty());
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
mod tests;
