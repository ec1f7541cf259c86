//! The dialogues of examinations in their folder: `outage-20261127T103000Z.txt`, numbered behind others of the same
//! second. The folder may hold others' files, too, so no other name is ever taken for a dialogue.

use chrono::{DateTime, NaiveDateTime, Utc};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

const BEGIN: &str = "outage-";
const END: &str = ".txt";
const MOMENT: &str = "%Y%m%dT%H%M%SZ";

/// Keeps a dialogue, which holds identities, for its owner alone.
pub(super) fn keep(folder: &Path, text: &str, now: DateTime<Utc>) -> io::Result<PathBuf> {
    let moment = now.format(MOMENT);
    let name = |n: u32| match n {
        0 => folder.join(format!("{BEGIN}{moment}{END}")),
        n => folder.join(format!("{BEGIN}{moment}-{n}{END}")),
    };
    let path = (0..u32::MAX).map(name).find(|p| !p.exists()).unwrap_or_else(|| name(0));
    let mut file = crate::private_file::create(&path)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()?;
    Ok(path)
}

/// The dialogues of a folder; none where there is no such folder.
pub(super) fn kept(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let entries = match std::fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(error),
    };
    let is_own = |path: &PathBuf| path.file_name().and_then(|n| n.to_str()).is_some_and(is_name);
    Ok(entries.flatten().map(|entry| entry.path()).filter(is_own).collect())
}

fn is_name(name: &str) -> bool {
    let moment = name.strip_prefix(BEGIN).and_then(|rest| rest.strip_suffix(END));
    moment.is_some_and(is_moment)
}

/// Whether a part of a name is a moment, with a number where it is not the first of its second.
pub(super) fn is_moment(text: &str) -> bool {
    let (moment, nth) = text.split_once('-').unwrap_or((text, "1"));
    NaiveDateTime::parse_from_str(moment, MOMENT).is_ok()
        && !nth.is_empty()
        && nth.bytes().all(|b| b.is_ascii_digit())
}
