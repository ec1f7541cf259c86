//! The log on the disk: JSON Lines, each line synced before it counts; files of bounded size, old ones compressed.
//!
//! `watch.jsonl` is written; behind a rotation it is `watch-20261127T103000Z.jsonl`, then the same with `.gz`. At any
//! moment a kill leaves whole lines but the last, which the next start cuts off, and each line in one file at least: a
//! compressed file takes its name only when it is whole and synced, and the plain one goes after that.

use super::dialogue;
use super::entry::{Entry, Head};
use super::event::{Event, Kind};
use chrono::{DateTime, NaiveDate, Utc};
use std::collections::VecDeque;
use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, BufRead, BufReader, Write};
use std::path::{Path, PathBuf};

/// Events that wait for a disk that is full; more are counted and left out.
const MOST_WAITING: usize = 1000;

/// Why a log cannot be used.
#[derive(Debug, thiserror::Error)]
pub enum LogError {
    /// The system refused.
    #[error("cannot use the log {0:?}: {1}")]
    Io(PathBuf, io::Error),
    /// Another watch writes it.
    #[error("another watch writes {0:?}: end that one, or name another file with --log")]
    Busy(PathBuf),
    /// It is something else.
    #[error("{0:?} is no log of a watch: name another file with --log; nothing was changed")]
    NotALog(PathBuf),
}

/// How large the log may grow.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// A file is put away when it is larger than this, bytes.
    pub file: u64,
    /// Old files, and the dialogues beside them, together; the oldest are deleted, bytes.
    pub whole: u64,
}

/// A log that is open for more.
#[derive(Debug)]
pub struct Log {
    path: PathBuf,
    /// The folder of the dialogues, which counts for the limit on the whole.
    captures: PathBuf,
    head: Head,
    limits: Limits,
    file: File,
    length: u64,
    /// Whether half a line may stand behind that length.
    torn: bool,
    day: NaiveDate,
    waiting: VecDeque<Event>,
    left_out: u64,
    /// Held as long as the log is open.
    _lock: File,
}

/// What was found on opening.
#[derive(Clone, Copy, Debug, Default)]
pub struct Found {
    /// When the last line was written.
    pub last: Option<DateTime<Utc>>,
    /// The number of the last sample.
    pub number: u64,
    /// Bytes of an unfinished last line that were cut off.
    pub torn_bytes: u64,
}

impl Log {
    /// Opens or begins a log, mends what a kill left behind, and says what was found.
    ///
    /// # Errors
    ///
    /// [`LogError`] where the system refuses, another watch writes it, or the file is something else.
    pub fn open(
        path: &Path,
        captures: &Path,
        head: Head,
        limits: Limits,
        now: DateTime<Utc>,
    ) -> Result<(Self, Found), LogError> {
        let fail = |error| LogError::Io(path.to_owned(), error);
        if let Some(folder) = path.parent().filter(|f| !f.as_os_str().is_empty()) {
            std::fs::create_dir_all(folder).map_err(fail)?;
        }
        if path.exists() && !path.is_file() {
            return Err(LogError::NotALog(path.to_owned()));
        }
        let lock = lock(path)?;
        let mut options = OpenOptions::new();
        options.read(true).append(true).create(true);
        let file = options.open(path).map_err(fail)?;
        let (found, day) = mend(&file, path)?;
        let length = file.metadata().map_err(fail)?.len();
        let day = day.unwrap_or_else(|| now.date_naive());
        let mut log = Self {
            path: path.to_owned(),
            captures: captures.to_owned(),
            head,
            limits,
            file,
            length,
            torn: false,
            day,
            waiting: VecDeque::new(),
            left_out: 0,
            _lock: lock,
        };
        log.head.watch.before = found.number;
        if length == 0 {
            log.write(&Entry::Head(log.head.clone())).map_err(fail)?;
        }
        log.tidy().map_err(fail)?;
        Ok((log, found))
    }

    /// Where it is.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Writes an entry, and returns once it is on the disk; puts the file away first where it is due. Where the disk
    /// takes nothing, events wait for the next call and samples are left out; the time without them is an event.
    ///
    /// # Errors
    ///
    /// What the system says. Half a line that it left is cut off before the next one is written.
    pub fn append(&mut self, entry: &Entry, now: DateTime<Utc>) -> io::Result<()> {
        let written = self.catch_up(now).and_then(|()| {
            if self.length > self.limits.file || now.date_naive() > self.day {
                self.rotate(now)?;
            }
            self.write(entry)
        });
        if written.is_err() {
            match entry {
                Entry::Event(event) if self.waiting.len() < MOST_WAITING => {
                    self.waiting.push_back(event.clone());
                }
                _ => self.left_out += 1,
            }
        }
        written
    }

    /// Whether entries wait or were left out since the disk took the last one.
    pub fn is_behind(&self) -> bool {
        self.left_out > 0 || !self.waiting.is_empty()
    }

    /// Writes what waits.
    fn catch_up(&mut self, now: DateTime<Utc>) -> io::Result<()> {
        while let Some(event) = self.waiting.front() {
            self.write(&Entry::Event(event.clone()))?;
            self.waiting.pop_front();
        }
        if self.left_out > 0 {
            let text = "the log could not be written";
            let gap = Event { count: Some(self.left_out), ..Event::new(now, Kind::LogGap, text) };
            self.write(&Entry::Event(gap))?;
            self.left_out = 0;
        }
        Ok(())
    }

    /// One line, whole or not at all.
    fn write(&mut self, entry: &Entry) -> io::Result<()> {
        let mut line = serde_json::to_vec(entry)?;
        line.push(b'\n');
        self.cut()?;
        let written = self.file.write_all(&line).and_then(|()| self.file.sync_data());
        if let Err(error) = written {
            self.torn = true;
            // Where the system refuses this, too, the next line waits for it.
            let _ = self.cut();
            return Err(error);
        }
        self.length += line.len() as u64;
        if let Entry::Sample(sample) = entry {
            self.head.watch.before = sample.number;
        }
        Ok(())
    }

    /// Cuts off what a line that failed left behind: half a line would spoil the next one.
    fn cut(&mut self) -> io::Result<()> {
        if self.torn {
            self.file.set_len(self.length)?;
            self.torn = false;
        }
        Ok(())
    }

    /// Puts the file away and begins another; compresses old ones and keeps the limit on the whole.
    ///
    /// # Errors
    ///
    /// What the system says; the lines are in the old file or the new one then.
    pub fn rotate(&mut self, now: DateTime<Utc>) -> io::Result<()> {
        self.cut()?;
        let away = self.put_away_name(now)?;
        std::fs::rename(&self.path, &away)?;
        let begun = OpenOptions::new().read(true).append(true).create(true).open(&self.path);
        match begun {
            Ok(file) => (self.file, self.length, self.day) = (file, 0, now.date_naive()),
            Err(error) => {
                std::fs::rename(&away, &self.path)?;
                return Err(error);
            }
        }
        self.write(&Entry::Head(self.head.clone()))?;
        sync_folder(&self.path);
        self.tidy()
    }

    /// The name of the moment, numbered behind others of the same second.
    fn put_away_name(&self, now: DateTime<Utc>) -> io::Result<PathBuf> {
        let moment = format!("{}-{}", stem(&self.path), now.format("%Y%m%dT%H%M%S"));
        let same = put_away(&self.path)?.iter().map(|f| age(f)).filter(|a| a.0 == moment).max();
        let more = same.map_or_else(String::new, |(_, last)| format!("-{}", last + 1));
        Ok(self.path.with_file_name(format!("{moment}Z{more}.jsonl")))
    }

    /// Compresses what was put away, removes what a kill left half done, and deletes the oldest over the limit.
    fn tidy(&self) -> io::Result<()> {
        let (half, whole): (Vec<_>, Vec<_>) =
            put_away(&self.path)?.into_iter().partition(|f| f.to_string_lossy().ends_with(".part"));
        for file in half {
            std::fs::remove_file(&file)?;
        }
        for file in whole.iter().filter(|f| f.to_string_lossy().ends_with(".jsonl")) {
            compress(file)?;
        }
        let mut old: Vec<(std::time::SystemTime, PathBuf, u64)> = Vec::new();
        for file in put_away(&self.path)?.into_iter().chain(dialogue::kept(&self.captures)?) {
            let about = file.metadata()?;
            if about.is_file() {
                old.push((about.modified()?, file, about.len()));
            }
        }
        // Files of one moment are told apart by the numbers in their names.
        old.sort_by_key(|(at, file, _)| (*at, age(file), file.clone()));
        let mut all: u64 = old.iter().map(|(_, _, bytes)| bytes).sum();
        for (_, file, bytes) in old {
            if all <= self.limits.whole {
                break;
            }
            std::fs::remove_file(file)?;
            all -= bytes;
        }
        Ok(())
    }
}

/// Takes the log for this program alone; the lock is a file beside it, because the log itself is put away.
fn lock(path: &Path) -> Result<File, LogError> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let beside = path.with_file_name(format!(".{name}.lock"));
    let fail = |error| LogError::Io(beside.clone(), error);
    let file = File::options().write(true).create(true).truncate(false).open(&beside);
    let file = file.map_err(fail)?;
    match file.try_lock() {
        Ok(()) => Ok(file),
        Err(TryLockError::WouldBlock) => Err(LogError::Busy(path.to_owned())),
        Err(TryLockError::Error(error)) => Err(fail(error)),
    }
}

/// Cuts an unfinished last line off, and says what stands before it, and of which day the first line with a time is.
fn mend(file: &File, path: &Path) -> Result<(Found, Option<NaiveDate>), LogError> {
    let fail = |error| LogError::Io(path.to_owned(), error);
    let mut found = Found::default();
    let (mut day, mut whole, mut begins) = (None, 0, false);
    let mut reader = BufReader::new(file);
    let mut line = Vec::new();
    loop {
        line.clear();
        let read = reader.read_until(b'\n', &mut line).map_err(fail)? as u64;
        if read == 0 || line.last() != Some(&b'\n') {
            found.torn_bytes = read;
            break;
        }
        let entry = serde_json::from_slice::<Entry>(&line).ok();
        if whole == 0 && !matches!(entry, Some(Entry::Head(_))) {
            return Err(LogError::NotALog(path.to_owned()));
        }
        whole += read;
        begins = true;
        match &entry {
            Some(Entry::Head(head)) => found.number = found.number.max(head.watch.before),
            Some(Entry::Sample(sample)) => found.number = found.number.max(sample.number),
            _ => {}
        }
        if let Some(at) = entry.as_ref().and_then(Entry::at) {
            day.get_or_insert_with(|| at.date_naive());
            found.last = Some(at);
        }
    }
    if found.torn_bytes > 0 {
        // Only what surely is the beginning of a log is ever shortened.
        if !begins && !b"{\"head\":".starts_with(&line[..line.len().min(8)]) {
            return Err(LogError::NotALog(path.to_owned()));
        }
        file.set_len(whole).and_then(|()| file.sync_data()).map_err(fail)?;
    }
    Ok((found, day))
}

/// A file with an end behind its name.
fn with_end(path: &Path, end: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(end);
    PathBuf::from(name)
}

fn stem(path: &Path) -> String {
    path.file_stem().unwrap_or_default().to_string_lossy().into_owned()
}

/// The files of a log that were put away, whole or not, the oldest first.
fn put_away(path: &Path) -> io::Result<Vec<PathBuf>> {
    let folder = path.parent().filter(|f| !f.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let begin = format!("{}-", stem(path));
    let mut found: Vec<PathBuf> = std::fs::read_dir(folder)?
        .flatten()
        .map(|entry| entry.path())
        .filter(|file| {
            let name = file.file_name().unwrap_or_default().to_string_lossy();
            name.strip_prefix(&begin).is_some_and(is_put_away)
        })
        .collect();
    found.sort_by_key(|file| (age(file), file.clone()));
    Ok(found)
}

/// Whether the rest of a name is a moment with an end of a put-away file; others' files are never touched.
fn is_put_away(rest: &str) -> bool {
    let ends = [".jsonl.gz.part", ".jsonl.gz", ".jsonl"];
    ends.iter().find_map(|end| rest.strip_suffix(end)).is_some_and(dialogue::is_moment)
}

/// The moment in a name, and its place among those of one second.
fn age(file: &Path) -> (String, u32) {
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let name = name.split(".jsonl").next().unwrap_or("");
    let Some(end) = name.rfind('Z') else { return (name.to_owned(), 0) };
    (name[..end].to_owned(), name[end + 1..].trim_start_matches('-').parse().unwrap_or(0))
}

/// Every file of a log that holds whole lines, the oldest first, the one that is written last; one that is there both
/// plain and compressed is taken once.
///
/// # Errors
///
/// What the system says of the folder.
pub fn files(path: &Path) -> io::Result<Vec<PathBuf>> {
    let mut all = put_away(path)?;
    all.retain(|file| {
        let name = file.to_string_lossy();
        let plain = name.strip_suffix(".gz").map(PathBuf::from);
        !name.ends_with(".part") && plain.is_none_or(|plain| !plain.exists())
    });
    if path.exists() {
        all.push(path.to_owned());
    }
    Ok(all)
}

/// Compresses a file; it goes when the compressed one is whole.
fn compress(file: &Path) -> io::Result<()> {
    let (part, whole) = (with_end(file, ".gz.part"), with_end(file, ".gz"));
    let mut out =
        flate2::write::GzEncoder::new(File::create(&part)?, flate2::Compression::default());
    io::copy(&mut File::open(file)?, &mut out)?;
    let out = out.finish()?;
    out.sync_all()?;
    // The age of a file is that of its lines.
    out.set_modified(file.metadata()?.modified()?)?;
    std::fs::rename(&part, &whole)?;
    sync_folder(&whole);
    std::fs::remove_file(file)
}

/// Makes new names last through a power cut, where the system can.
fn sync_folder(file: &Path) {
    let folder = file.parent().filter(|f| !f.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if let Ok(folder) = File::open(folder) {
        // Some file systems sync no folders; the lines themselves are safe.
        let _ = folder.sync_all();
    }
}

#[cfg(test)]
mod tests;
