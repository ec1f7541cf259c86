//! Single files of a ticket: read only if they are plain files of a bearable size, written whole or not at all.

use super::error::TicketError;
use serde::{Serialize, de::DeserializeOwned};
use std::io::{self, Read, Write};
use std::path::Path;

/// The largest file that is read, in bytes.
const LARGEST: u64 = 16 * 1024 * 1024;

/// The largest version of a form that this program knows.
const FORMAT: u32 = 1;

/// Reads a file; `None` where there is none.
pub(super) fn read(path: &Path) -> Result<Option<Vec<u8>>, TicketError> {
    let fail = |problem: &str| TicketError::File { path: path.to_owned(), problem: problem.into() };
    // The link itself is looked at, so that a ticket cannot lead out of its folder.
    let found = match std::fs::symlink_metadata(path) {
        Ok(found) => found,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(TicketError::file(path, error)),
    };
    if !found.is_file() {
        return Err(fail("no plain file; links, devices and folders are not read"));
    }
    let mut bytes = Vec::new();
    let file = std::fs::File::open(path).map_err(|e| TicketError::file(path, e))?;
    let read = file.take(LARGEST + 1).read_to_end(&mut bytes);
    read.map_err(|e| TicketError::file(path, e))?;
    if bytes.len() as u64 > LARGEST {
        return Err(fail("larger than 16 MiB; cut out the part with the modem's answers"));
    }
    Ok(Some(bytes))
}

/// The version of a form; a file without one is of the first.
#[derive(serde::Deserialize)]
struct Version {
    #[serde(default)]
    format: u32,
}

/// Reads a file of settings; `None` where there is none.
pub(super) fn read_form<T: DeserializeOwned>(path: &Path) -> Result<Option<T>, TicketError> {
    let Some(bytes) = read(path)? else { return Ok(None) };
    let text = String::from_utf8(bytes).map_err(|_| TicketError::file(path, "no UTF-8 text"))?;
    let fail = |error: toml::de::Error| {
        let at = error.span().map_or(0, |span| span.start);
        let line = crate::span::Lines::of(&text).place(at).line;
        let problem = error.message().trim().to_owned();
        TicketError::Form { path: path.to_owned(), line, problem }
    };
    let Version { format } = toml::from_str(&text).map_err(fail)?;
    if format > FORMAT {
        return Err(TicketError::Newer { path: path.to_owned(), format });
    }
    toml::from_str(&text).map(Some).map_err(fail)
}

/// Writes a new file, whole and lasting; `false` where the name is taken, and that file stays as it is.
pub(super) fn write_new(path: &Path, bytes: &[u8]) -> Result<bool, TicketError> {
    let fail = |error: io::Error| TicketError::file(path, error);
    let folder = path.parent().unwrap_or(Path::new("."));
    let mut new = tempfile::Builder::new();
    new.prefix(".new-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // A team may share the folder; the user's own mask decides.
        new.permissions(std::fs::Permissions::from_mode(0o666));
    }
    let mut file = new.tempfile_in(folder).map_err(fail)?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_all()).map_err(fail)?;
    match file.persist_noclobber(path) {
        Ok(_) => {}
        Err(error) if error.error.kind() == io::ErrorKind::AlreadyExists => return Ok(false),
        Err(error) => return Err(fail(error.error)),
    }
    // The name lasts only once the folder is written, too.
    #[cfg(unix)]
    std::fs::File::open(folder).and_then(|folder| folder.sync_all()).map_err(fail)?;
    Ok(true)
}

/// Writes a new file of settings, as [`write_new`].
pub(super) fn write_form<T: Serialize>(path: &Path, form: &T) -> Result<bool, TicketError> {
    let text = toml::to_string(form).map_err(|e| TicketError::file(path, e))?;
    write_new(path, text.as_bytes())
}
