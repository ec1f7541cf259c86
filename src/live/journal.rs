//! The journal of this computer: every change that was ever made, and every radio that was switched
//! off and is not known to be on again.
//!
//! `changes.jsonl` has one line for each step of a change, oldest first; `undo/` holds the undo files
//! again; `radio-off/` has one file for each radio, written before it is switched off.

use super::modem_identity::{Key, ModemIdentity};
use super::undo::Undo;
use crate::private_file;
use serde::{Deserialize, Serialize};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// The file of all changes.
const CHANGES: &str = "changes.jsonl";

/// What the journal has of all changes.
#[derive(Clone, Debug, Default)]
pub struct Entries {
    /// Every line that can be read, oldest first.
    pub entries: Vec<Entry>,
    /// How many lines cannot: cut off by a power cut, or damaged.
    pub unreadable: usize,
}

/// The journal; without a folder nothing is written.
#[derive(Clone, Debug, Default)]
pub struct Journal {
    folder: Option<PathBuf>,
    /// The port of this run, for whoever reads an entry.
    port: String,
}

/// One line of the journal.
#[derive(Clone, Debug, Serialize, Deserialize, PartialEq, Eq)]
pub struct Entry {
    /// When, RFC 3339.
    pub at: String,
    /// The port.
    pub port: String,
    /// The modem.
    pub modem: ModemIdentity,
    /// What was changed, in words.
    pub change: String,
    /// How far it came.
    pub state: EntryState,
    /// The undo file that the journal keeps.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub undo: Option<PathBuf>,
}

/// What a file of the journal says, or why it cannot be read.
type OfFile<T> = (PathBuf, T);

/// How far a change came.
#[derive(Clone, Copy, Debug, Serialize, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
pub enum EntryState {
    /// About to be made.
    Begun,
    /// Made, and read back.
    Made,
    /// Not made, or not as it should be.
    Failed,
    /// Put back, and read back.
    Undone,
}

impl EntryState {
    /// The state in a word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Begun => "begun",
            Self::Made => "made",
            Self::Failed => "failed",
            Self::Undone => "undone",
        }
    }
}

/// A radio that was switched off.
#[derive(Clone, Debug, Serialize, Deserialize, PartialEq, Eq)]
pub struct RadioEntry {
    /// When, RFC 3339.
    pub at: String,
    /// The port.
    pub port: String,
    /// The command that switches it on.
    pub command: String,
    /// The process that switched it off.
    pub process: u32,
}

impl Journal {
    /// The journal in a folder, for a run at a port.
    pub fn in_folder(folder: PathBuf, port: &str) -> Self {
        Self { folder: Some(folder), port: port.to_owned() }
    }

    /// The user's own journal; without a folder where the system has none for data.
    pub fn of_user(port: &str) -> Self {
        use etcetera::BaseStrategy;
        let folder = etcetera::choose_base_strategy().ok().map(|s| s.data_dir().join("mastside"));
        Self { folder, port: port.to_owned() }
    }

    /// Where it is kept; `None` where the system has no folder for data.
    pub fn folder(&self) -> Option<&std::path::Path> {
        self.folder.as_deref()
    }

    /// The key for numbers in files.
    ///
    /// # Errors
    ///
    /// What the system says, or that there is no folder.
    pub fn key(&self) -> io::Result<Key> {
        let folder = self
            .folder
            .as_ref()
            .ok_or_else(|| io::Error::other("there is no folder for this user's data"))?;
        std::fs::create_dir_all(folder)?;
        Key::in_folder(folder)
    }

    /// Notes one step of a change, and keeps its undo file.
    ///
    /// # Errors
    ///
    /// What the system says.
    pub fn note(
        &self,
        modem: &ModemIdentity,
        change: &str,
        state: EntryState,
        undo: Option<&Undo>,
    ) -> io::Result<()> {
        let Some(folder) = &self.folder else { return Ok(()) };
        let kept = undo.map(|undo| Self::keep(folder, undo)).transpose()?;
        let entry = Entry {
            at: now(),
            port: self.port.clone(),
            modem: modem.clone(),
            change: change.to_owned(),
            state,
            undo: kept,
        };
        let mut line = serde_json::to_string(&entry).map_err(io::Error::other)? + "\n";
        let path = folder.join(CHANGES);
        // A line that a power cut left unfinished must not take this one with it.
        if std::fs::read(&path).is_ok_and(|bytes| bytes.last().is_some_and(|b| *b != b'\n')) {
            line.insert(0, '\n');
        }
        let mut file = private_file::append(&path)?;
        file.write_all(line.as_bytes())?;
        file.sync_data()
    }

    fn keep(folder: &Path, undo: &Undo) -> io::Result<PathBuf> {
        let text = toml::to_string_pretty(undo).map_err(io::Error::other)?;
        let base = chrono::Local::now().format("%Y%m%d-%H%M%S%.3f").to_string();
        let path = folder.join("undo").join(format!("{base}-{}.toml", std::process::id()));
        let mut file = private_file::create(&path)?;
        file.write_all(text.as_bytes())?;
        file.sync_data()?;
        Ok(path)
    }

    /// Every line, oldest first.
    ///
    /// # Errors
    ///
    /// What the system says of a journal that is there and cannot be read.
    pub fn entries(&self) -> io::Result<Entries> {
        let mut read = Entries::default();
        let Some(folder) = &self.folder else { return Ok(read) };
        let bytes = match std::fs::read(folder.join(CHANGES)) {
            Ok(bytes) => bytes,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(read),
            Err(error) => return Err(error),
        };
        for line in bytes.split(|b| *b == b'\n').filter(|line| !line.trim_ascii().is_empty()) {
            match serde_json::from_slice(line) {
                Ok(entry) => read.entries.push(entry),
                Err(_) => read.unreadable += 1,
            }
        }
        Ok(read)
    }

    /// Notes that the radio is about to be switched off; the entry is on the disk when this returns.
    ///
    /// # Errors
    ///
    /// What the system says.
    pub(super) fn radio_off(&self, command: &str) -> io::Result<RadioNote> {
        let Some(folder) = &self.folder else { return Ok(RadioNote(None)) };
        let entry = RadioEntry {
            at: now(),
            port: self.port.clone(),
            command: command.to_owned(),
            process: std::process::id(),
        };
        let text = toml::to_string_pretty(&entry).map_err(io::Error::other)?;
        let base = chrono::Local::now().format("%Y%m%d-%H%M%S%.6f").to_string();
        let path = folder.join("radio-off").join(format!("{base}-{}.toml", std::process::id()));
        let mut file = private_file::create(&path)?;
        file.write_all(text.as_bytes())?;
        file.sync_all()?;
        Ok(RadioNote(Some(path)))
    }

    /// Radios that a run switched off and did not see on again.
    pub fn radios_off(&self) -> Vec<RadioEntry> {
        self.radio_files().0.into_iter().map(|(_, entry)| entry).collect()
    }

    /// What cannot be read of such radios: each file, and why.
    pub fn unreadable_radios(&self) -> Vec<(PathBuf, String)> {
        self.radio_files().1
    }

    /// Whether a run at this port switched the radio off and did not see it on again.
    pub(super) fn left_a_radio_off(&self) -> bool {
        self.radio_files().0.iter().any(|(_, entry)| entry.port == self.port)
    }

    /// The radio at this port was seen on: its entries are done with.
    pub fn radio_is_on(&self) {
        for (path, entry) in self.radio_files().0 {
            if entry.port == self.port {
                // Whatever keeps the file only makes the next start warn once more.
                let _ = std::fs::remove_file(path);
            }
        }
    }

    /// The entries of radios with their files, oldest first, and the files that cannot be read.
    fn radio_files(&self) -> (Vec<OfFile<RadioEntry>>, Vec<OfFile<String>>) {
        let (mut found, mut unreadable) = (Vec::new(), Vec::new());
        let Some(folder) = self.folder.as_ref().map(|f| f.join("radio-off")) else {
            return (found, unreadable);
        };
        let files = match std::fs::read_dir(&folder) {
            Ok(files) => files.map(|file| file.map(|f| f.path())).collect(),
            Err(error) => vec![Err(error)],
        };
        for file in files {
            match file {
                Ok(path) if path.extension().is_some_and(|e| e == "toml") => {
                    match radio_entry(&path) {
                        Ok(entry) => found.push((path, entry)),
                        Err(why) => unreadable.push((path, why)),
                    }
                }
                Ok(_) => {}
                Err(error) if error.kind() == io::ErrorKind::NotFound => {}
                Err(error) => unreadable.push((folder.clone(), error.to_string())),
            }
        }
        found.sort_by(|a, b| a.0.cmp(&b.0));
        (found, unreadable)
    }
}

fn radio_entry(path: &Path) -> Result<RadioEntry, String> {
    let text = std::fs::read_to_string(path).map_err(|e| e.to_string())?;
    toml::from_str(&text).map_err(|e| e.message().to_owned())
}

/// An entry of a radio that is off.
pub(super) struct RadioNote(Option<PathBuf>);

impl RadioNote {
    /// The radio is on again.
    pub(super) fn done(self) {
        if let Some(path) = self.0 {
            // Whatever keeps the file only makes the next start warn once more.
            let _ = std::fs::remove_file(path);
        }
    }
}

fn now() -> String {
    chrono::Local::now().to_rfc3339_opts(chrono::SecondsFormat::Secs, false)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn journal() -> (tempfile::TempDir, Journal) {
        let folder = tempfile::tempdir().unwrap();
        let journal = Journal::in_folder(folder.path().to_owned(), "/dev/ttyUSB2");
        (folder, journal)
    }

    #[test]
    fn damaged_lines_are_counted_and_the_others_read() {
        let (folder, journal) = journal();
        assert_eq!(journal.entries().unwrap().unreadable, 0, "no journal is no damage");
        let note = |change| {
            journal.note(&ModemIdentity::default(), change, EntryState::Made, None).unwrap();
        };
        note("one");
        let path = folder.path().join(CHANGES);
        let mut bytes = std::fs::read(&path).unwrap();
        bytes.extend(b"\xff\xfe no text\n{\"at\":\"2026-");
        std::fs::write(&path, bytes).unwrap();
        note("two");
        let read = journal.entries().unwrap();
        let changes: Vec<&str> = read.entries.iter().map(|e| e.change.as_str()).collect();
        assert_eq!((changes, read.unreadable), (vec!["one", "two"], 2));
    }

    #[test]
    fn a_journal_that_the_system_refuses_is_an_error_and_not_empty() {
        let (folder, journal) = journal();
        std::fs::create_dir(folder.path().join(CHANGES)).unwrap();
        assert!(journal.entries().is_err());
    }

    #[test]
    fn a_damaged_note_of_a_radio_is_named() {
        let (folder, journal) = journal();
        assert!(journal.unreadable_radios().is_empty(), "no folder is no damage");
        let _ = journal.radio_off("AT+CFUN=1").unwrap();
        let bytes: [&[u8]; 3] = [b"", b"at = \"2026-11-27\"\n", b"\xff\xfe"];
        for (n, text) in bytes.into_iter().enumerate() {
            std::fs::write(folder.path().join(format!("radio-off/{n}.toml")), text).unwrap();
        }
        assert_eq!((journal.radios_off().len(), journal.unreadable_radios().len()), (1, 3));
        journal.radio_is_on();
        assert_eq!((journal.radios_off().len(), journal.unreadable_radios().len()), (0, 3));
    }
}
