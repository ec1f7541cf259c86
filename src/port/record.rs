//! The recording of a dialogue: a capture file that is complete up to its last line at any moment.

use std::fs::File;
use std::io::{self, Write};
use std::path::Path;

/// Writes each line of a dialogue with its time and direction, at once.
///
/// The text is also kept, so that a live run is explained from the same text that is saved.
#[derive(Debug, Default)]
pub struct Recorder {
    file: Option<File>,
    text: String,
}

impl Recorder {
    /// Keeps the text only.
    pub fn new() -> Self {
        Self::default()
    }

    /// Writes to a new file too, which its owner alone can read; an existing one is never replaced.
    ///
    /// # Errors
    ///
    /// What the system says.
    pub fn to_file(path: &Path) -> io::Result<Self> {
        let file = crate::private_file::create(path)?;
        Ok(Self { file: Some(file), text: String::new() })
    }

    /// Notes a command that is sent.
    ///
    /// # Errors
    ///
    /// What the system says of the file.
    pub fn sent(&mut self, command: &str) -> io::Result<()> {
        self.line('>', command)
    }

    /// Notes a line that came.
    ///
    /// # Errors
    ///
    /// What the system says of the file.
    pub fn received(&mut self, line: &str) -> io::Result<()> {
        self.line('<', line)
    }

    /// Notes a remark of this program.
    ///
    /// # Errors
    ///
    /// What the system says of the file.
    pub fn remark(&mut self, words: &str) -> io::Result<()> {
        self.write(&format!("-- {words}\n"))
    }

    fn line(&mut self, mark: char, words: &str) -> io::Result<()> {
        let now = chrono::Local::now().format("%Y-%m-%d %H:%M:%S%.3f");
        self.write(&format!("[{now}] {mark} {words}\n"))
    }

    fn write(&mut self, line: &str) -> io::Result<()> {
        self.text.push_str(line);
        match &mut self.file {
            Some(file) => file.write_all(line.as_bytes()).and_then(|()| file.flush()),
            None => Ok(()),
        }
    }

    /// What was recorded since the last call; it is kept in memory no longer.
    pub fn take_text(&mut self) -> String {
        std::mem::take(&mut self.text)
    }

    /// What was recorded so far, but for what was taken.
    pub fn text(&self) -> &str {
        &self.text
    }
}
