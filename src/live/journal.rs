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
        let line = serde_json::to_string(&entry).map_err(io::Error::other)? + "\n";
        let mut file = private_file::append(&folder.join("changes.jsonl"))?;
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

    /// Every line that can be read, oldest first; a line that was cut off is left out.
    pub fn entries(&self) -> Vec<Entry> {
        let Some(folder) = &self.folder else { return Vec::new() };
        let text = std::fs::read_to_string(folder.join("changes.jsonl")).unwrap_or_default();
        text.lines().filter_map(|line| serde_json::from_str(line).ok()).collect()
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
        self.radio_files().into_iter().map(|(_, entry)| entry).collect()
    }

    /// Whether a run at this port switched the radio off and did not see it on again.
    pub(super) fn left_a_radio_off(&self) -> bool {
        self.radio_files().iter().any(|(_, entry)| entry.port == self.port)
    }

    /// The radio at this port was seen on: its entries are done with.
    pub fn radio_is_on(&self) {
        for (path, entry) in self.radio_files() {
            if entry.port == self.port {
                // Whatever keeps the file only makes the next start warn once more.
                let _ = std::fs::remove_file(path);
            }
        }
    }

    fn radio_files(&self) -> Vec<(PathBuf, RadioEntry)> {
        let Some(folder) = &self.folder else { return Vec::new() };
        let files = std::fs::read_dir(folder.join("radio-off")).into_iter().flatten().flatten();
        let mut found: Vec<_> = files
            .filter_map(|file| {
                let text = std::fs::read_to_string(file.path()).ok()?;
                Some((file.path(), toml::from_str(&text).ok()?))
            })
            .collect();
        found.sort_by(|a: &(PathBuf, RadioEntry), b| a.0.cmp(&b.0));
        found
    }
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
