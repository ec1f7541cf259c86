//! What is to be triaged, in its order: the lines of a stream, the lines of JSON Lines files, captures and surveys.
//!
//! A thread reads ahead and hands out blocks. A block ends where the input has nothing more at hand, so a slow
//! sender gets its rows at once, and where it is large, so memory does not grow with the input.

use std::fs::File;
use std::io::{self, BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};

/// One thing that gets one row.
#[derive(Debug)]
pub enum Job {
    /// A line of JSON.
    Line(Vec<u8>),
    /// A file with the output of one modem.
    Capture(PathBuf),
    /// A survey file.
    Survey(PathBuf),
    /// A file or a stream that could not be read, and why.
    Unreadable(PathBuf, String),
}

/// Some jobs in a row, and the size of what was read for them.
#[derive(Debug, Default)]
pub struct Block {
    /// The jobs.
    pub jobs: Vec<Job>,
    /// Bytes of the input, with those of files that are read later.
    pub bytes: u64,
}

/// A block has at most so many jobs,
const MOST_JOBS: usize = 1024;
/// and is closed with the job that reaches so many bytes.
const MOST_BYTES: u64 = 1 << 20;
/// So many blocks are read ahead.
const AHEAD: usize = 2;

/// Reads `-` (standard input), files and folders in a thread of its own.
pub fn read(paths: Vec<PathBuf>) -> Receiver<Block> {
    let (send, receive) = sync_channel(AHEAD);
    std::thread::spawn(move || {
        let mut out = Out { block: Block::default(), send };
        // A receiver that is gone wants no more.
        let _ =
            paths.iter().try_for_each(|path| read_one(path, &mut out)).and_then(|()| out.flush());
    });
    receive
}

/// The files behind the names: folders are walked, their files in the order of their names.
pub fn files(paths: &[PathBuf]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for path in paths {
        if path.is_dir() { walk(path, &mut found) } else { found.push(path.clone()) }
    }
    found
}

fn walk(folder: &Path, found: &mut Vec<PathBuf>) {
    let Ok(entries) = std::fs::read_dir(folder) else {
        // Reading it as a file later says why it cannot be read.
        found.push(folder.to_owned());
        return;
    };
    let mut entries: Vec<_> = entries.flatten().collect();
    entries.sort_by_key(std::fs::DirEntry::file_name);
    for entry in entries {
        let hidden = entry.file_name().as_encoded_bytes().starts_with(b".");
        // A page about the folder is no capture; one that is named by itself is read.
        let page = entry.path().extension().is_some_and(|e| e.eq_ignore_ascii_case("md"));
        match entry.file_type() {
            Ok(_) if hidden => {}
            Ok(kind) if page && !kind.is_dir() => {}
            Ok(kind) if kind.is_dir() => walk(&entry.path(), found),
            // A link may lead to a file, and to a folder in a circle.
            Ok(kind) if kind.is_file() || entry.path().is_file() => found.push(entry.path()),
            _ => {}
        }
    }
}

struct Gone;

struct Out {
    block: Block,
    send: SyncSender<Block>,
}

impl Out {
    fn job(&mut self, job: Job, bytes: u64) -> Result<(), Gone> {
        self.block.jobs.push(job);
        self.block.bytes += bytes;
        let full = self.block.jobs.len() >= MOST_JOBS || self.block.bytes >= MOST_BYTES;
        if full { self.flush() } else { Ok(()) }
    }

    fn flush(&mut self) -> Result<(), Gone> {
        if self.block.jobs.is_empty() {
            return Ok(());
        }
        self.send.send(std::mem::take(&mut self.block)).map_err(|_| Gone)
    }
}

fn read_one(path: &Path, out: &mut Out) -> Result<(), Gone> {
    if path == Path::new("-") {
        return lines(BufReader::with_capacity(1 << 18, io::stdin()), path, out);
    }
    let opened = File::open(path).and_then(|file| {
        let size = file.metadata()?.len();
        let mut reader = BufReader::with_capacity(1 << 18, file);
        let kind = kind(path, reader.fill_buf()?);
        Ok((reader, kind, size))
    });
    match opened {
        Ok((reader, Kind::Lines, _)) => lines(reader, path, out),
        Ok((_, Kind::Survey, size)) => out.job(Job::Survey(path.to_owned()), size),
        Ok((_, Kind::Capture, size)) => out.job(Job::Capture(path.to_owned()), size),
        Err(error) => out.job(Job::Unreadable(path.to_owned(), error.to_string()), 0),
    }
}

enum Kind {
    Lines,
    Survey,
    Capture,
}

/// What a file is, by its beginning; JSON Lines also by its name.
fn kind(path: &Path, start: &[u8]) -> Kind {
    let start = start.strip_prefix(b"\xef\xbb\xbf").unwrap_or(start).trim_ascii_start();
    let named = path.extension().is_some_and(|e| e == "jsonl" || e == "ndjson");
    if start.starts_with(b"{\"head\"") {
        Kind::Survey
    } else if named || is_record(start) {
        Kind::Lines
    } else {
        Kind::Capture
    }
}

/// Whether a text begins like a record.
fn is_record(start: &[u8]) -> bool {
    let Some(inside) = start.strip_prefix(b"{") else { return false };
    let inside = inside.trim_ascii_start();
    ["\"site\"", "\"at\"", "\"text\""].iter().any(|key| inside.starts_with(key.as_bytes()))
}

fn lines<R: Read>(mut reader: BufReader<R>, path: &Path, out: &mut Out) -> Result<(), Gone> {
    let mut first = true;
    loop {
        let mut line = Vec::new();
        match reader.read_until(b'\n', &mut line) {
            Ok(0) => return Ok(()),
            Ok(_) => {}
            Err(error) => return out.job(Job::Unreadable(path.to_owned(), error.to_string()), 0),
        }
        // Some editors put a byte-order mark before the first line.
        if std::mem::take(&mut first) && line.starts_with(b"\xef\xbb\xbf") {
            line.drain(..3);
        }
        let bytes = line.len() as u64;
        out.job(Job::Line(line), bytes)?;
        if memchr::memchr(b'\n', reader.buffer()).is_none() {
            // The next line may be long in coming.
            out.flush()?;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_are_read_in_the_order_of_their_names_and_kinds_are_seen() {
        let folder = tempfile::tempdir().unwrap();
        let write = |name: &str, text: &str| {
            let path = folder.path().join(name);
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            std::fs::write(path, text).unwrap();
        };
        write("b/two.txt", "AT\r\nOK\r\n");
        write("a.jsonl", "{\"site\":1}\n\nlast without an end");
        write(".hidden", "x");
        write("c", "{ \"text\":\"AT\"}\n");
        write("d.jsonl", "{\"head\":{\"format\":1}}\n");
        let jobs: Vec<String> = read(files(&[folder.path().to_owned(), "/no/such".into()]))
            .iter()
            .flat_map(|block| block.jobs)
            .map(|job| match job {
                Job::Line(line) => String::from_utf8(line).unwrap(),
                Job::Capture(path) => format!("capture {}", path.file_name().unwrap().display()),
                Job::Survey(path) => format!("survey {}", path.file_name().unwrap().display()),
                Job::Unreadable(path, _) => format!("unreadable {}", path.display()),
            })
            .collect();
        assert_eq!(
            jobs,
            [
                "{\"site\":1}\n",
                "\n",
                "last without an end",
                "capture two.txt",
                "{ \"text\":\"AT\"}\n",
                "survey d.jsonl",
                "unreadable /no/such"
            ]
        );
    }

    #[test]
    fn a_block_is_bounded_in_bytes_and_in_jobs() {
        let (send, receive) = sync_channel(1000);
        let mut out = Out { block: Block::default(), send };
        let long = format!("{}\n", "x".repeat(300_000)).repeat(8) + &"y\n".repeat(5000);
        let reader = BufReader::with_capacity(8 << 20, long.as_bytes());
        assert!(lines(reader, Path::new("-"), &mut out).and_then(|()| out.flush()).is_ok());
        drop(out);
        let blocks: Vec<Block> = receive.iter().collect();
        assert_eq!(blocks.iter().map(|b| b.jobs.len()).sum::<usize>(), 5008);
        assert!(blocks.iter().all(|b| b.bytes < MOST_BYTES + 300_001 && b.jobs.len() <= MOST_JOBS));
    }
}
