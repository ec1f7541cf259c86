//! What several targets need: a folder for parsers that take files, and what no output may hold.

use std::path::PathBuf;
use std::sync::LazyLock;

/// A folder of this process, in memory where the system has such a place.
static FOLDER: LazyLock<tempfile::TempDir> = LazyLock::new(|| {
    let memory = std::path::Path::new("/dev/shm");
    let place = if memory.is_dir() { memory.to_owned() } else { std::env::temp_dir() };
    tempfile::tempdir_in(place).expect("a folder can be made")
});

/// A file of that name with these bytes.
#[allow(dead_code)]
pub fn file(name: &str, bytes: &[u8]) -> PathBuf {
    let path = FOLDER.path().join(name);
    std::fs::write(&path, bytes).expect("the file can be written");
    path
}

/// Whether a text or page holds what a terminal would obey.
#[allow(dead_code)]
pub fn is_plain(page: &str) -> bool {
    !page.chars().any(|c| c.is_control() && !matches!(c, '\n' | '\t'))
}
