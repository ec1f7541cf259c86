//! The files of logs, line by line, the put-away ones first; a folder has one log or several.

use super::gather::Site;
use crate::watch::entry::{Entry, Head};
use crate::watch::log::files;
use flate2::read::MultiGzDecoder;
use std::fs::File;
use std::io::{self, BufRead, BufReader, Read};
use std::path::{Path, PathBuf};

/// A longer line is damage.
const LONGEST: u64 = 1 << 20;

/// Why a log cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum ReadError {
    /// The system refused.
    #[error("{0:?}: {1}")]
    Io(PathBuf, io::Error),
    /// Nothing is there.
    #[error("there is no {0:?}; `mastside watch` writes watch.jsonl, or what --log names")]
    Missing(PathBuf),
    /// It is something else.
    #[error("{0:?} is no log of a watch")]
    NotALog(PathBuf),
    /// There is none.
    #[error("{0:?} has no log of a watch")]
    NoLog(PathBuf),
    /// A newer program wrote it.
    #[error("{0:?} has form {1}, this program reads form 1: use the newer program")]
    Newer(PathBuf, u32),
}

/// Reads the logs that are named; a folder stands for the logs in it and in its folders.
///
/// # Errors
///
/// [`ReadError`] where one cannot be read or is no log. Damaged lines are counted and left out.
pub fn read_all(named: &[PathBuf]) -> Result<Vec<Site>, ReadError> {
    let mut sites = Vec::new();
    for path in named {
        if path.is_dir() {
            let logs = logs_below(path).map_err(|e| ReadError::Io(path.clone(), e))?;
            if logs.is_empty() {
                return Err(ReadError::NoLog(path.clone()));
            }
            for log in logs {
                sites.push(read(&log)?);
            }
        } else {
            sites.push(read(path)?);
        }
    }
    Ok(sites)
}

/// The logs of a folder and of the folders in it.
fn logs_below(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            for entry in std::fs::read_dir(&path)? {
                found.push(entry?.path());
            }
        } else {
            found.push(path);
        }
    }
    // Put-away files belong to the log that is written.
    found.retain(|p| p.extension().is_some_and(|e| e == "jsonl") && begins_as_log(p));
    found.sort();
    let all = found.clone();
    found.retain(|p| {
        !all.iter().any(|log| log != p && files(log).is_ok_and(|files| files.contains(p)))
    });
    Ok(found)
}

fn begins_as_log(path: &Path) -> bool {
    let Ok(file) = File::open(path) else { return false };
    let mut line = Vec::new();
    let read = BufReader::new(file.take(LONGEST)).read_until(b'\n', &mut line);
    read.is_ok() && matches!(serde_json::from_slice(&line), Ok(Entry::Head(_)))
}

fn read(path: &Path) -> Result<Site, ReadError> {
    let fail = |path: &Path, e| ReadError::Io(path.to_owned(), e);
    if !path.is_file() {
        return Err(ReadError::Missing(path.to_owned()));
    }
    let mut site: Option<Site> = None;
    for file in files(path).map_err(|e| fail(path, e))? {
        let plain = File::open(&file).map_err(|e| fail(&file, e))?;
        let packed = file.extension().is_some_and(|e| e == "gz");
        let text: Box<dyn Read> =
            if packed { Box::new(MultiGzDecoder::new(plain)) } else { Box::new(plain) };
        lines(text, &file, path, &mut site)?;
    }
    let mut site = site.ok_or_else(|| ReadError::NotALog(path.to_owned()))?;
    site.finish();
    Ok(site)
}

fn lines(
    text: Box<dyn Read>,
    file: &Path,
    log: &Path,
    site: &mut Option<Site>,
) -> Result<(), ReadError> {
    let mut text = BufReader::with_capacity(1 << 16, text);
    let mut line = Vec::new();
    let mut first = true;
    loop {
        line.clear();
        let read = text.by_ref().take(LONGEST).read_until(b'\n', &mut line);
        let read = read.map_err(|e| ReadError::Io(file.to_owned(), e))?;
        // A line without an end is being written, or was torn; it was never shown.
        if read == 0 || line.last() != Some(&b'\n') && (read as u64) < LONGEST {
            return Ok(());
        }
        let entry = serde_json::from_slice::<Entry>(&line);
        match entry {
            Ok(Entry::Head(head)) => begin(head, file, log, site)?,
            Ok(entry) if !first => {
                if let Some(site) = site {
                    site.take(&entry);
                }
            }
            _ if first => return Err(ReadError::NotALog(file.to_owned())),
            _ => {
                if let Some(site) = site {
                    site.damaged += 1;
                }
            }
        }
        first = false;
    }
}

fn begin(head: Head, file: &Path, log: &Path, site: &mut Option<Site>) -> Result<(), ReadError> {
    if head.watch.format > crate::watch::entry::FORMAT {
        return Err(ReadError::Newer(file.to_owned(), head.watch.format));
    }
    match site {
        Some(site) => site.every_s = head.watch.every_s,
        None => *site = Some(Site::new(log, &head)),
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_that_nothing_has_is_told_what_writes_one() {
        let error = read_all(&[PathBuf::from("/nosuch.jsonl")]).unwrap_err().to_string();
        assert!(error.contains("/nosuch.jsonl") && error.contains("--log"), "{error}");
    }
}
