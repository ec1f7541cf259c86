//! Reading what the user names, with one clear sentence where it cannot be read.

use super::Exit;
use crate::capture::{DecodeError, decode};
use std::borrow::Cow;
use std::io::{self, IsTerminal, Read};
use std::path::{Path, PathBuf};

/// Why an input could not be used.
#[derive(Debug, thiserror::Error)]
pub(super) enum InputError {
    /// The file could not be read.
    #[error("{}: {problem}", name(path))]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What went wrong.
        problem: String,
    },
    /// The bytes are no text.
    #[error("{}: {error}; {}", name(path), error.hint())]
    NoText {
        /// The file.
        path: PathBuf,
        /// What they are.
        error: DecodeError,
    },
}

fn name(path: &Path) -> String {
    if path == Path::new("-") {
        return "standard input".into();
    }
    crate::report::plain(&path.display().to_string()).into_owned()
}

/// Reads a whole file, or standard input for `-`.
pub(super) fn read(path: &Path) -> Result<Vec<u8>, InputError> {
    let unreadable = |error: &io::Error| {
        let problem = match error.kind() {
            io::ErrorKind::NotFound => "there is no such file".into(),
            io::ErrorKind::PermissionDenied => "no permission to read it; ask its owner, or copy the text".into(),
            io::ErrorKind::IsADirectory => "this is a folder; name one file with a modem's output".into(),
            io::ErrorKind::OutOfMemory => "too large for the memory of this computer; cut out the part with the modem's answers".into(),
            _ => error.to_string(),
        };
        InputError::Unreadable { path: path.to_owned(), problem }
    };
    if path == Path::new("-") {
        if io::stdin().is_terminal() {
            let end = if cfg!(windows) { "Ctrl-Z and Enter" } else { "Ctrl-D" };
            eprintln!("Paste what the modem said, then press {end} on a line of its own.");
        }
        let mut bytes = Vec::new();
        return io::stdin()
            .lock()
            .read_to_end(&mut bytes)
            .map(|_| bytes)
            .map_err(|e| unreadable(&e));
    }
    std::fs::read(path).map_err(|e| unreadable(&e))
}

/// The text of what was read.
pub(super) fn text<'b>(path: &Path, bytes: &'b [u8]) -> Result<Cow<'b, str>, InputError> {
    decode(bytes).map_err(|error| InputError::NoText { path: path.to_owned(), error })
}

/// Says why, and ends as unusable.
pub(super) fn refuse(error: &InputError) -> Exit {
    eprintln!("mastside: {error}");
    Exit::Unusable
}
