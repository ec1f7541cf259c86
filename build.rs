//! What the program says of its own making: the commit, where it is known, and the date of the tables.

use std::path::Path;
use std::process::Command;

#[allow(dead_code, reason = "a test includes this file for `commit`")]
fn main() {
    let root = std::env::var("CARGO_MANIFEST_DIR").expect("cargo names the folder of the package");
    let root = Path::new(&root);
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rerun-if-changed=band-tables/date.txt");
    // A development build changes with every save, so it names no commit and is not built anew after each.
    let release = std::env::var("PROFILE").is_ok_and(|profile| profile == "release");
    let commit = if release {
        watch(root);
        commit(root)
    } else {
        None
    };
    let commit = commit.map_or_else(String::new, |commit| format!(" ({commit})"));
    println!("cargo::rustc-env=MASTSIDE_COMMIT={commit}");
    let date = std::fs::read_to_string(root.join("band-tables/date.txt"))
        .expect("band-tables/date.txt says from which day the tables are");
    println!("cargo::rustc-env=MASTSIDE_TABLES={}", date.trim());
}

/// Runs this script again when a commit is made or a source file changes.
#[allow(dead_code, reason = "a test includes this file for `commit`")]
fn watch(root: &Path) {
    for path in ["src", "band-tables", "carrier-profiles", "Cargo.toml", ".cargo_vcs_info.json"] {
        if root.join(path).exists() {
            println!("cargo::rerun-if-changed={path}");
        }
    }
    if let Some(log) = git(root, &["rev-parse", "--git-path", "logs/HEAD"]) {
        println!("cargo::rerun-if-changed={log}");
    }
}

/// The commit that a folder of sources was taken from: out of the note that `cargo package` leaves, or out of git
/// where the folder is the top of a clone; `+` behind it where tracked files differ from it.
pub(crate) fn commit(root: &Path) -> Option<String> {
    if let Ok(note) = std::fs::read_to_string(root.join(".cargo_vcs_info.json")) {
        let (_, behind) = note.split_once("\"sha1\"")?;
        let commit = behind.split('"').nth(1)?;
        let changed = if note.contains("\"dirty\"") { "+" } else { "" };
        return Some(format!("{}{changed}", commit.get(..12)?));
    }
    // A folder within somebody else's clone has another top.
    let top = git(root, &["rev-parse", "--show-toplevel"])?;
    if Path::new(&top).canonicalize().ok()? != root.canonicalize().ok()? {
        return None;
    }
    git(root, &["describe", "--always", "--abbrev=12", "--dirty=+", "--exclude=*"])
}

/// What git says, where it is installed and has something to say.
fn git(root: &Path, arguments: &[&str]) -> Option<String> {
    let output = Command::new("git").arg("-C").arg(root).args(arguments).output().ok()?;
    let text = String::from_utf8(output.stdout).ok()?;
    (output.status.success() && !text.trim().is_empty()).then(|| text.trim().to_owned())
}
