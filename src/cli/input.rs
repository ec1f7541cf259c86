//! Reading what the user names, with one clear sentence where it cannot be read.

use super::Exit;
use crate::capture::{DecodeError, decode};
use crate::explanation::Part;
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
    crate::sanitize::plain(&path.display().to_string()).into_owned()
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

/// Reads all texts into one, each beginning on a line of its own.
pub(super) fn texts(paths: &[PathBuf]) -> Result<(String, Vec<Part>), InputError> {
    let mut joined = (String::new(), Vec::new());
    for path in paths {
        let bytes = read(path)?;
        let text = match text(path, &bytes)? {
            // The only text of valid UTF-8 is used as it is, without a copy.
            Cow::Borrowed(_) if paths.len() == 1 => {
                let part = Part { name: name(path), lines_before: 0, starts_at: 0 };
                return Ok((String::from_utf8(bytes).unwrap_or_default(), vec![part]));
            }
            other => other,
        };
        Part::join(&mut joined, name(path), &text);
    }
    Ok(joined)
}

/// Says why, and ends as unusable.
pub(super) fn refuse(error: &InputError) -> Exit {
    eprintln!("mastside: {error}");
    Exit::Unusable
}
