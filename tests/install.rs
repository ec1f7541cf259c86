//! What an installation needs: the version with its commit, the date of the tables, completions, manual pages, what is
//! found missing, and the packages.

use std::path::Path;
use std::process::{Command, Output};

#[path = "../build.rs"]
mod build;

fn mastside(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_mastside")).args(arguments).output().unwrap()
}

fn printed(arguments: &[&str]) -> String {
    let output = mastside(arguments);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// Every command of the help, without `help` itself.
fn commands() -> Vec<String> {
    let help = printed(&["--help"]);
    let (_, list) = help.split_once("Commands:\n").unwrap();
    let names = list.lines().take_while(|line| !line.is_empty());
    names
        .filter_map(|line| line.strip_prefix("  ")?.split_whitespace().next())
        .filter(|name| *name != "help")
        .map(str::to_owned)
        .collect()
}

fn git(folder: &Path, arguments: &[&str]) -> String {
    let output = Command::new("git")
        .arg("-C")
        .arg(folder)
        .args(["-c", "user.name=A", "-c", "user.email=a@mast.example"])
        .args(arguments)
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap().trim().to_owned()
}

#[test]
fn the_version_gives_the_date_of_the_tables() {
    let date = include_str!("../band-tables/date.txt").trim();
    assert!(chrono::NaiveDate::parse_from_str(date, "%Y-%m-%d").is_ok(), "{date}");
    let long = printed(&["--version"]);
    let (first, second) = long.trim_end().split_once('\n').unwrap();
    assert!(first.starts_with(concat!("mastside ", env!("CARGO_PKG_VERSION"))), "{first}");
    assert_eq!(second, format!("tables of {date}"));
    assert_eq!(printed(&["-V"]), concat!("mastside ", env!("CARGO_PKG_VERSION"), "\n"));
}

/// The date of the tables is that of their last commit or later. A shallow clone does not know that commit.
#[test]
fn the_date_of_the_tables_is_not_older_than_their_last_change() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    if build::commit(root).is_none()
        || root.join(".cargo_vcs_info.json").exists()
        || git(root, &["rev-parse", "--is-shallow-repository"]) == "true"
    {
        eprintln!("not checked: this is no full clone");
        return;
    }
    let changed = git(root, &["log", "-1", "--format=%cs", "--", "band-tables/*.csv"]);
    let date = include_str!("../band-tables/date.txt").trim();
    assert!(
        date >= changed.as_str(),
        "a table changed on {changed}: put that day in band-tables/date.txt"
    );
}

#[test]
fn the_commit_is_known_in_a_clone_and_in_a_package_and_nowhere_else() {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path();
    assert_eq!(build::commit(root), None, "outside git");

    git(root, &["init", "-q"]);
    std::fs::write(root.join("a.txt"), "one").unwrap();
    git(root, &["add", "a.txt"]);
    git(root, &["commit", "-q", "-m", "one"]);
    let head = git(root, &["rev-parse", "HEAD"]);
    assert_eq!(build::commit(root).as_deref(), Some(&head[..12]));

    std::fs::write(root.join("a.txt"), "two").unwrap();
    assert_eq!(build::commit(root), Some(format!("{}+", &head[..12])), "a tracked file differs");

    let inner = root.join("vendored");
    std::fs::create_dir(&inner).unwrap();
    assert_eq!(build::commit(&inner), None, "within the clone of another project");

    let note = "{\n  \"git\": {\n    \"sha1\": \"0123456789abcdef0123456789abcdef01234567\"\n  },\n  \"path_in_vcs\": \"\"\n}";
    std::fs::write(inner.join(".cargo_vcs_info.json"), note).unwrap();
    assert_eq!(build::commit(&inner).as_deref(), Some("0123456789ab"), "a packaged crate");
}

#[test]
fn every_shell_gets_a_script_with_every_command() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = printed(&["completions", shell]);
        for command in commands() {
            assert!(script.contains(&command), "{shell} lacks {command}");
        }
    }
    assert_eq!(mastside(&["completions", "abacus"]).status.code(), Some(2));
}

/// bash itself reads the script and completes with it.
#[test]
fn bash_completes_with_the_script() {
    let folder = tempfile::tempdir().unwrap();
    let script = folder.path().join("mastside");
    std::fs::write(&script, printed(&["completions", "bash"])).unwrap();
    let ask = "source \"$1\" && COMP_WORDS=(mastside expl) COMP_CWORD=1 && _mastside mastside expl mastside && echo \"${COMPREPLY[@]}\"";
    let output = match Command::new("bash").args(["-c", ask, "bash"]).arg(&script).output() {
        Ok(output) => output,
        Err(error) => return eprintln!("not checked: no bash here ({error})"),
    };
    assert_eq!(String::from_utf8_lossy(&output.stdout).trim(), "explain", "{output:?}");
}

#[test]
fn every_command_has_a_manual_page() {
    let folder = tempfile::tempdir().unwrap();
    let pages = folder.path().join("man1");
    printed(&["manual", pages.to_str().unwrap()]);
    for command in commands() {
        let page = std::fs::read_to_string(pages.join(format!("mastside-{command}.1")));
        let page = page.unwrap_or_else(|error| panic!("{command}: {error}"));
        assert!(page.contains(".SH NAME") && page.contains(".SH SYNOPSIS"), "{command}");
    }
    let main = printed(&["manual"]);
    assert!(main.contains(".TH MASTSIDE 1"), "{main}");
    assert_eq!(mastside(&["manual", "/dev/null/pages"]).status.code(), Some(2));
}

fn check_install(home: &Path, more: &[&str]) -> (Option<i32>, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_mastside"))
        .arg("check-install")
        .args(more)
        .env("HOME", home)
        .env_remove("XDG_CONFIG_HOME")
        .env_remove("XDG_DATA_HOME")
        .output()
        .unwrap();
    (output.status.code(), String::from_utf8(output.stdout).unwrap())
}

/// Serial ports differ from computer to computer, so the lines of the other things are looked at.
#[cfg(target_os = "linux")]
#[test]
fn an_installation_is_checked_and_a_fault_says_what_to_do() {
    let home = tempfile::tempdir().unwrap();
    let (status, page) = check_install(home.path(), &[]);
    assert!(matches!(status, Some(0 | 1)), "{status:?}");
    assert_eq!(status == Some(1), page.contains("\nmissing "), "{page}");
    let tables =
        std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("band-tables")).unwrap();
    let tables =
        tables.filter(|t| t.as_ref().unwrap().path().extension().unwrap() == "csv").count();
    assert!(page.contains(&format!("found    {tables} tables")), "{page}");
    assert!(page.contains("found    4 carrier profiles, nothing wrong"), "{page}");
    assert!(page.contains("optional no file of your team's notes"), "{page}");

    let own = home.path().join(".config/mastside");
    std::fs::create_dir_all(&own).unwrap();
    std::fs::write(own.join("team.toml"), "[contact]\nmoon = 1\n").unwrap();
    std::fs::create_dir_all(home.path().join("profiles")).unwrap();
    let wrong = home.path().join("profiles");
    std::fs::write(wrong.join("a.toml"), "name = 3\n").unwrap();
    let (status, page) = check_install(home.path(), &["--profiles", wrong.to_str().unwrap()]);
    assert_eq!(status, Some(1));
    assert!(page.contains("missing  a sound team file"), "{page}");
    assert!(page.contains("in carrier profiles"), "{page}");
    assert!(page.contains("to do: mastside carrier check"), "{page}");
}

/// What goes into the Debian package is there, or is made by the script that builds it.
#[test]
fn every_file_of_the_debian_package_has_its_source() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let manifest: toml::Table =
        std::fs::read_to_string(root.join("Cargo.toml")).unwrap().parse().unwrap();
    let script = std::fs::read_to_string(root.join("packaging/build")).unwrap();
    let deb = &manifest["package"]["metadata"]["deb"];
    let assets = deb["assets"].as_array().unwrap();
    assert!(assets.len() > 10);
    for asset in assets {
        let source = asset[0].as_str().unwrap();
        if let Some(made) = source.strip_prefix("target/packaging/") {
            let name = made.split('/').next().unwrap();
            assert!(script.contains(name), "packaging/build does not make {source}");
        } else if source != "target/release/mastside" {
            let found = glob::glob(root.join(source).to_str().unwrap()).unwrap().count();
            assert!(found > 0, "nothing is {source}");
        }
    }
    for file in [&deb["license-file"][0], &deb["extended-description-file"]] {
        assert!(root.join(file.as_str().unwrap()).exists(), "{file}");
    }
}

/// The crate that `cargo package` makes has every tracked file but the fuzz targets, which are a package of their own.
#[test]
fn the_packaged_crate_is_complete() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    if build::commit(root).is_none() || root.join(".cargo_vcs_info.json").exists() {
        eprintln!("not checked: this is no clone");
        return;
    }
    let output = Command::new(env!("CARGO"))
        .args(["package", "--list", "--allow-dirty", "--offline", "--quiet"])
        .current_dir(root)
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let packaged = String::from_utf8(output.stdout).unwrap();
    let packaged: Vec<_> = packaged.lines().collect();
    let tracked = git(root, &["ls-files"]);
    let left: Vec<_> = tracked
        .lines()
        .filter(|file| {
            !file.starts_with("fuzz/") && root.join(file).exists() && !packaged.contains(file)
        })
        .collect();
    assert!(left.is_empty(), "{left:?}");
}
