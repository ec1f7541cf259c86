//! Files that only their owner may read: keys, undo files, the journal, recorded dialogues.

use std::fs::File;
use std::io;
use std::path::Path;

/// Creates a new file that its owner alone can read; never replaces one.
///
/// # Errors
///
/// What the system says.
pub(crate) fn create(path: &Path) -> io::Result<File> {
    if let Some(folder) = path.parent().filter(|f| !f.as_os_str().is_empty()) {
        make_folder(folder)?;
    }
    options().write(true).create_new(true).open(path)
}

/// Opens a file for adding to it, and creates it so that its owner alone can read it.
pub(crate) fn append(path: &Path) -> io::Result<File> {
    if let Some(folder) = path.parent() {
        make_folder(folder)?;
    }
    options().append(true).create(true).open(path)
}

/// Makes a folder, and those above it, that their owner alone can enter; one that is there stays as it is.
fn make_folder(folder: &Path) -> io::Result<()> {
    let mut builder = std::fs::DirBuilder::new();
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.recursive(true).create(folder)
}

fn options() -> std::fs::OpenOptions {
    let options = File::options();
    #[cfg(unix)]
    let options = {
        let mut own = options;
        std::os::unix::fs::OpenOptionsExt::mode(&mut own, 0o600);
        own
    };
    options
}

#[cfg(all(test, unix))]
mod tests {
    use std::os::unix::fs::PermissionsExt;

    #[test]
    fn a_new_file_and_its_new_folder_are_their_owners_and_no_file_is_replaced() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("new/file");
        super::create(&path).unwrap();
        let mode = |path: &std::path::Path| path.metadata().unwrap().permissions().mode() & 0o777;
        assert_eq!((mode(&path), mode(path.parent().unwrap())), (0o600, 0o700));
        assert!(super::create(&path).is_err());
        super::append(&folder.path().join("journal")).unwrap();
        assert_eq!(mode(&folder.path().join("journal")), 0o600);
    }
}
