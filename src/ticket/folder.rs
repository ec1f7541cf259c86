//! A ticket as a folder: opened, given a further text, judged, closed.

use super::error::TicketError;
use super::file::{read, read_form, write_form, write_new};
use super::forms::{Closing, Head, Step};
use super::progress::Progress;
use crate::capture::{DecodeError, decode};
use crate::carrier::{ProfileStore, UnknownProfile};
use crate::explanation::{Basis, Explanation, Part, View};
use chrono::{DateTime, Utc};
use std::borrow::Cow;
use std::path::{Path, PathBuf};

/// A ticket has at most so many texts.
const MOST: usize = 999;

/// A ticket with its files.
#[derive(Debug)]
pub struct Ticket {
    /// The folder.
    pub folder: PathBuf,
    /// What the team knows.
    pub head: Head,
    /// The texts in order.
    pub texts: Vec<Text>,
    /// What it was, once it is closed.
    pub closing: Option<Closing>,
}

/// One text of a ticket, by its number.
#[derive(Clone, Debug)]
pub struct Text {
    /// The number in the names of its files.
    pub number: usize,
    /// The name of its file.
    pub name: String,
    /// The verdict after it, where there is one that can be read.
    pub step: Option<Step>,
    /// Why the verdict cannot be read.
    pub damage: Option<String>,
}

/// Whether a word can be the name of a ticket's folder: letters, digits and a few signs that no system minds.
pub fn is_name(word: &str) -> bool {
    let sound = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.');
    (1..=64).contains(&word.len())
        && word.chars().all(sound)
        && word.starts_with(|c: char| c.is_ascii_alphanumeric())
        && !word.ends_with('.')
}

/// A text as a ticket keeps it, redacted unless the original is wanted, and as its file will be read.
///
/// # Errors
///
/// [`DecodeError`] where the file could not be read: the ticket would be lost.
pub fn kept(text: &str, keep_original: bool) -> Result<String, DecodeError> {
    let kept = if keep_original { text.into() } else { crate::redact::redact(text) };
    decode(kept.as_bytes()).map(Cow::into_owned)
}

impl Ticket {
    /// Opens a ticket, or makes one where there is no folder or an empty one.
    ///
    /// # Errors
    ///
    /// [`TicketError`] where a folder has other things in it, or cannot be read or written.
    pub fn open_or_create(folder: &Path, new: Head) -> Result<Self, TicketError> {
        let fail = |e: std::io::Error| TicketError::file(folder, e);
        std::fs::create_dir_all(folder).map_err(fail)?;
        if !folder.join("ticket.toml").exists() {
            if std::fs::read_dir(folder).map_err(fail)?.next().is_some() {
                return Err(TicketError::NoTicket(folder.to_owned()));
            }
            // Where another process was first, its head stays.
            write_form(&folder.join("ticket.toml"), &Head { format: 1, ..new })?;
        }
        Self::open(folder)
    }

    /// Opens a ticket.
    ///
    /// # Errors
    ///
    /// [`TicketError`] where the folder is none, or a file cannot be read.
    pub fn open(folder: &Path) -> Result<Self, TicketError> {
        let head = read_form(&folder.join("ticket.toml"))?
            .ok_or_else(|| TicketError::NoTicket(folder.to_owned()))?;
        let closing = read_form(&folder.join("closing.toml"))?;
        let mut texts = Vec::new();
        for entry in std::fs::read_dir(folder).map_err(|e| TicketError::file(folder, e))? {
            let name = entry.map_err(|e| TicketError::file(folder, e))?.file_name();
            let Some(number) = name.to_str().and_then(number_of) else { continue };
            let name = name.to_string_lossy().into_owned();
            let (step, damage) = match read_form(&verdict_path(folder, number)) {
                Ok(step) => (step, None),
                Err(error) => (None, Some(error.to_string())),
            };
            texts.push(Text { number, name, step, damage });
        }
        texts.sort_by_key(|text| text.number);
        texts.dedup_by_key(|text| text.number);
        if texts.len() > MOST {
            return Err(TicketError::Full { path: folder.to_owned(), most: MOST });
        }
        Ok(Self { folder: folder.to_owned(), head, texts, closing })
    }

    /// The number of the ticket: its own, else the name of its folder.
    pub fn name(&self) -> String {
        let folder = || self.folder.file_name().unwrap_or_default().to_string_lossy().into_owned();
        self.head.number.clone().unwrap_or_else(folder)
    }

    /// The verdict after the last text that has one.
    pub fn last_step(&self) -> Option<&Step> {
        self.texts.iter().rev().find_map(|text| text.step.as_ref())
    }

    /// When it was opened: by its head, else by its first verdict.
    pub fn opened(&self) -> Option<DateTime<Utc>> {
        self.head.opened.or_else(|| self.texts.iter().find_map(|t| Some(t.step.as_ref()?.judged)))
    }

    /// Adds a text as it came, or redacted; `false` where it is the last one already.
    ///
    /// # Errors
    ///
    /// [`TicketError`] where the ticket is closed, the text is none that could be read back, or it cannot be written.
    pub fn add(&mut self, text: &str, keep_original: bool) -> Result<bool, TicketError> {
        if self.closing.is_some() {
            return Err(TicketError::Closed(self.folder.clone()));
        }
        let kept = kept(text, keep_original).map_err(|e| TicketError::file(&self.folder, e))?;
        if let Some(last) = self.texts.last()
            && self.read(last)? == kept
        {
            return Ok(false);
        }
        let mut number = self.texts.last().map_or(1, |last| last.number + 1);
        loop {
            if number > MOST {
                return Err(TicketError::Full { path: self.folder.clone(), most: MOST });
            }
            let name = format!("text-{number:02}.txt");
            if write_new(&self.folder.join(&name), kept.as_bytes())? {
                self.texts.push(Text { number, name, step: None, damage: None });
                return Ok(true);
            }
            // Somebody else added a text at this moment: theirs comes first.
            number += 1;
        }
    }

    fn read(&self, text: &Text) -> Result<String, TicketError> {
        let path = self.folder.join(&text.name);
        let bytes =
            read(&path)?.ok_or_else(|| TicketError::file(&path, "there is no such file"))?;
        let text = decode(&bytes).map_err(|e| TicketError::file(&path, e))?;
        Ok(text.into_owned())
    }

    /// The first `count` texts as one, each beginning on a line of its own.
    ///
    /// # Errors
    ///
    /// [`TicketError`] where a text cannot be read.
    pub fn joined(&self, count: usize) -> Result<(String, Vec<Part>), TicketError> {
        let mut joined = (String::new(), Vec::new());
        for text in self.texts.iter().take(count) {
            Part::join(&mut joined, text.name.clone(), &self.read(text)?);
        }
        Ok(joined)
    }

    /// The card's carrier, where the head names one that has a profile.
    pub fn carrier(&self, profiles: &ProfileStore) -> Option<&str> {
        let named = self.head.carrier.as_deref()?;
        profiles.all().0.iter().any(|stored| stored.carrier.name == named).then_some(named)
    }

    /// What the last text changed in the verdict; `None` for the first one.
    ///
    /// # Errors
    ///
    /// [`UnknownProfile`] if a carrier is named that no profile has.
    pub fn progress(
        explanation: &Explanation<'_>,
        whole: &str,
        parts: &[Part],
        basis: &Basis<'_>,
    ) -> Result<Option<Progress>, UnknownProfile> {
        let [before @ .., last] = parts else { return Ok(None) };
        if before.is_empty() {
            return Ok(None);
        }
        let earlier = &whole[..last.starts_at];
        let earlier = Explanation::of(earlier, before.to_vec(), basis, View::default())?;
        Ok(Some(Progress::between(&earlier, explanation)))
    }

    /// Writes the verdict after the last text, unless it has one.
    ///
    /// # Errors
    ///
    /// [`TicketError`] where it cannot be written.
    pub fn note(&mut self, step: Step) -> Result<(), TicketError> {
        let folder = self.folder.clone();
        let Some(last) = self.texts.last_mut() else { return Ok(()) };
        if last.step.is_none() && last.damage.is_none() {
            write_form(&verdict_path(&folder, last.number), &step)?;
            last.step = Some(step);
        }
        Ok(())
    }

    /// Closes the ticket; `false` where it is closed already.
    ///
    /// # Errors
    ///
    /// [`TicketError`] where that cannot be written.
    pub fn close(&mut self, closing: Closing) -> Result<bool, TicketError> {
        let closed = write_form(&self.folder.join("closing.toml"), &closing)?;
        if closed {
            self.closing = Some(closing);
        }
        Ok(closed)
    }

    /// Opens a closed ticket again; its closing note becomes one of the notes of the folder.
    ///
    /// # Errors
    ///
    /// [`TicketError`] where that cannot be written.
    pub fn reopen(&mut self) -> Result<bool, TicketError> {
        let path = self.folder.join("closing.toml");
        let kept = (1..=MOST).map(|n| self.folder.join(format!("closing-{n:02}.toml")));
        let Some(free) = kept.into_iter().find(|p| !p.exists()) else { return Ok(false) };
        if self.closing.take().is_none() {
            return Ok(false);
        }
        std::fs::rename(&path, free).map_err(|e| TicketError::file(&path, e))?;
        Ok(true)
    }
}

fn verdict_path(folder: &Path, number: usize) -> PathBuf {
    folder.join(format!("verdict-{number:02}.toml"))
}

/// The number in the name of a text's file.
fn number_of(name: &str) -> Option<usize> {
    let digits = name.strip_prefix("text-")?.strip_suffix(".txt")?;
    (digits.len() <= 3 && digits.bytes().all(|b| b.is_ascii_digit()))
        .then(|| digits.parse().ok())?
}
