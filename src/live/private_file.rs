//! Files that only their owner may read: keys, undo files, the journal.

use std::fs::File;
use std::io;
use std::path::Path;

/// Creates a new file that its owner alone can read; never replaces one.
///
/// # Errors
///
/// What the system says.
pub fn create(path: &Path) -> io::Result<File> {
    if let Some(folder) = path.parent().filter(|f| !f.as_os_str().is_empty()) {
        std::fs::create_dir_all(folder)?;
    }
    options().write(true).create_new(true).open(path)
}

/// Opens a file for adding to it, and creates it so that its owner alone can read it.
pub(super) fn append(path: &Path) -> io::Result<File> {
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder)?;
    }
    options().append(true).create(true).open(path)
}

fn options() -> std::fs::OpenOptions {
    let mut options = File::options();
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options
}
