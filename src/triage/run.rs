//! The run over all records: blocks come in, all cores answer, rows go out in order.

use super::judge::Judge;
use super::record::Place;
use super::row::Row;
use super::source::{self, Block, Job};
use chrono::{DateTime, SecondsFormat, Utc};
use rayon::prelude::*;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::RecvTimeoutError;
use std::time::Duration;

/// How a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ended {
    /// Every record has its row.
    Whole,
    /// Somebody asked it to stop; the records so far have their rows.
    Stopped,
}

/// How far a run is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Progress {
    /// Records that have their rows.
    pub records: u64,
    /// Bytes of the input that they took.
    pub bytes: u64,
}

/// How often a run without input looks whether it is to stop.
const LOOK: Duration = Duration::from_millis(100);

/// Threads that explain have this much stack, as the main thread of a program usually has.
const STACK: usize = 8 << 20;

/// Answers what stands behind `paths` (files, or `-`), without the first `skip` records, and hands the rows to `take` in the order
/// of the input. Each call gives the rows of one block, made by `form` in the thread that explained them.
///
/// # Errors
///
/// What `take` says, or the system where threads cannot be started.
pub fn run<T: Send>(
    paths: Vec<PathBuf>,
    skip: u64,
    judge: &Judge<'_>,
    stop: &AtomicBool,
    form: impl Fn(Row) -> T + Sync,
    mut take: impl FnMut(Vec<T>, Progress) -> io::Result<()>,
) -> io::Result<Ended> {
    let pool =
        rayon::ThreadPoolBuilder::new().stack_size(STACK).build().map_err(io::Error::other)?;
    let blocks = source::read(paths);
    let mut progress = Progress::default();
    let mut skip = skip;
    loop {
        if stop.load(Ordering::Relaxed) {
            return Ok(Ended::Stopped);
        }
        let Block { mut jobs, bytes } = match blocks.recv_timeout(LOOK) {
            Ok(block) => block,
            Err(RecvTimeoutError::Timeout) => continue,
            Err(RecvTimeoutError::Disconnected) => return Ok(Ended::Whole),
        };
        let known = usize::try_from(skip).unwrap_or(usize::MAX).min(jobs.len());
        jobs.drain(..known);
        skip -= known as u64;
        let rows: Vec<T> =
            pool.install(|| jobs.into_par_iter().map(|job| form(answer(judge, job))).collect());
        progress.records += rows.len() as u64;
        progress.bytes += bytes;
        take(rows, progress)?;
    }
}

fn answer(judge: &Judge<'_>, job: Job) -> Row {
    match job {
        Job::Line(line) => judge.line(&line),
        Job::Survey(path) => judge.survey(&path, place(&path)),
        Job::Capture(path) => {
            let place = place(&path);
            match std::fs::read(&path) {
                Ok(bytes) => judge.capture(&place, &bytes),
                Err(error) => Row::unusable(&place, error.to_string()),
            }
        }
        Job::Unreadable(path, why) => Row::unusable(&place(&path), why),
    }
}

/// The site and the time of a file: its name without the ending, and when it was written last.
fn place(path: &Path) -> Place {
    let name = path.file_stem().unwrap_or(path.as_os_str()).to_string_lossy();
    let written = std::fs::metadata(path).and_then(|m| m.modified()).ok();
    let at = written.map(|t| DateTime::<Utc>::from(t).to_rfc3339_opts(SecondsFormat::Secs, true));
    Place { site: name.into(), at: at.into(), ..Place::default() }
}
