//! Every command block of the user's guide runs, ends as it says, and prints what stands below it.
//!
//! A block `sh` runs in a folder of its page with the demo beside it; `# exit status N` says how a command ends. A block
//! `text` right behind it holds lines of its output in order, `…` what is left out. A block `sh modem` needs hardware, so
//! that only its arguments are read.
#![cfg(unix)]

use std::path::{Path, PathBuf};
use std::process::Command;

/// A block of commands and the output that the page shows.
struct Block {
    line: usize,
    needs_modem: bool,
    commands: Vec<String>,
    shown: Vec<String>,
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn blocks(page: &str) -> Vec<Block> {
    let mut found: Vec<Block> = Vec::new();
    let mut lines = page.lines().enumerate();
    // Whether nothing but blank lines stood since the last block of commands.
    let mut follows = false;
    while let Some((number, line)) = lines.next() {
        let Some(language) = line.strip_prefix("```") else {
            follows &= line.is_empty();
            continue;
        };
        let body = lines.by_ref().map(|(_, line)| line).take_while(|line| *line != "```");
        let body: Vec<String> = body.map(str::to_owned).collect();
        match (language, found.last_mut()) {
            // What needs a service manager or another machine stands there to be read.
            ("sh host", _) => {}
            ("sh" | "sh modem", _) => found.push(Block {
                line: number + 1,
                needs_modem: language == "sh modem",
                commands: body,
                shown: Vec::new(),
            }),
            ("text", Some(block)) if follows => block.shown = body,
            ("text" | "toml" | "json", _) => {}
            _ => panic!("line {}: a block of an unknown kind, {language:?}", number + 1),
        }
        follows = language == "sh";
    }
    found
}

/// The exit status that a command's remark names.
fn wanted(command: &str) -> &str {
    let (_, remark) = command.split_once("# exit status ").unwrap_or(("", "0"));
    remark.split(|c: char| !c.is_ascii_digit()).next().unwrap()
}

/// A script that ends with 99 at the first command that ends in another way than its remark says.
fn script(block: &Block) -> String {
    let mut script = String::new();
    for command in &block.commands {
        if block.needs_modem {
            script +=
                &format!("{command} --help >/dev/null || {{ echo {command:?} >&2; exit 99; }}\n");
        } else if let Some(command) = command.strip_suffix(" &") {
            // A reader waits for the sign that the line is there.
            let link =
                command.split("--link ").nth(1).expect("a rehearsal is what runs beside others");
            script += &format!(
                "{command} >rehearsal.txt 2>&1 & background=$!\ni=0\nuntil [ -e {link} ] || [ $i = 300 ]; do sleep 0.1; i=$((i+1)); done\n"
            );
        } else {
            let wanted = wanted(command);
            script += &format!(
                "{command}\nstatus=$?; [ $status = {wanted} ] || {{ echo \"exit status $status, not {wanted}: \"{command:?} >&2; exit 99; }}\n"
            );
        }
    }
    script
}

/// The first line that the page shows and the output does not have behind those before it.
fn missing<'b>(shown: &'b [String], output: &str) -> Option<&'b str> {
    let mut rest = output;
    for line in shown.iter().map(|line| line.trim()).filter(|line| !line.is_empty() && *line != "…")
    {
        match rest.split_once(line) {
            Some((_, behind)) => rest = behind,
            None => return Some(line),
        }
    }
    None
}

/// A rehearsal that one block starts serves those behind it, so the blocks of a page are one script.
fn run(page: &Path) -> usize {
    let text = std::fs::read_to_string(page).unwrap();
    let name = page.strip_prefix(root()).unwrap().display().to_string();
    let folder = tempfile::tempdir().unwrap();
    for part in ["demo", "carrier-profiles"] {
        std::os::unix::fs::symlink(root().join(part), folder.path().join(part)).unwrap();
    }
    let program = Path::new(env!("CARGO_BIN_EXE_mastside")).parent().unwrap();
    let path = format!("{}:{}", program.display(), std::env::var("PATH").unwrap());
    let blocks = blocks(&text);
    let mut all =
        String::from("exec 2>&1\nbackground=\ntrap 'kill $background 2>/dev/null' EXIT\n");
    for block in &blocks {
        all += &format!("{}printf '\\n=== end of a block\\n'\n", script(block));
    }
    let output = Command::new("sh")
        .args(["-c", &all])
        .env("PATH", path)
        .env("HOME", folder.path())
        .env("XDG_CONFIG_HOME", folder.path().join("config"))
        .env("XDG_STATE_HOME", folder.path().join("state"))
        .env("XDG_DATA_HOME", folder.path().join("data"))
        .current_dir(folder.path())
        .output()
        .unwrap();
    let printed = String::from_utf8(output.stdout).unwrap();
    assert!(output.status.success(), "{name}: {printed}");
    for (block, printed) in blocks.iter().zip(printed.split("\n=== end of a block\n")) {
        if let Some(line) = missing(&block.shown, printed) {
            panic!("{name}, block of line {}: {line:?} is not in\n{printed}", block.line);
        }
    }
    blocks.len()
}

fn pages() -> Vec<PathBuf> {
    ["docs", "docs/commands"]
        .iter()
        .flat_map(|folder| std::fs::read_dir(root().join(folder)).unwrap())
        .map(|entry| entry.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "md"))
        .collect()
}

fn help(command: &[&str]) -> String {
    let output =
        Command::new(env!("CARGO_BIN_EXE_mastside")).args(command).arg("--help").output().unwrap();
    String::from_utf8(output.stdout).unwrap()
}

/// The names that a help lists as commands.
fn commands(help: &str) -> Vec<&str> {
    let Some((_, list)) = help.split_once("Commands:\n") else { return Vec::new() };
    list.lines()
        .take_while(|line| !line.is_empty())
        .filter_map(|line| line.strip_prefix("  ")?.split(' ').next())
        .filter(|name| !name.is_empty() && *name != "help")
        .collect()
}

/// The long options of a help, without those that every command has.
fn options(help: &str) -> Vec<&str> {
    help.lines()
        .filter_map(|line| line.trim_start().strip_prefix("--"))
        .filter_map(|line| line.split([' ', '=', '[']).next())
        .filter(|name| !matches!(*name, "help" | "tables" | "version"))
        .collect()
}

#[test]
fn every_command_has_a_page_with_all_its_options() {
    let all = help(&[]);
    let mut missing = Vec::new();
    for command in commands(&all) {
        let page = root().join(format!("docs/commands/{command}.md"));
        let page = std::fs::read_to_string(&page).unwrap_or_default();
        let own = help(&[command]);
        let below: Vec<String> = commands(&own).iter().map(|c| help(&[command, c])).collect();
        for help in below.iter().chain([&own]) {
            let unknown = options(help).into_iter().filter(|o| !page.contains(&format!("`--{o}")));
            missing.extend(unknown.map(|option| format!("{command}.md: --{option}")));
        }
        if page.is_empty() {
            missing.push(format!("docs/commands/{command}.md"));
        }
    }
    assert!(missing.is_empty(), "not in the guide: {missing:#?}");
}

/// The manifest names no crate without its reason in the guide.
#[test]
fn every_dependency_has_its_reason() {
    let manifest = std::fs::read_to_string(root().join("Cargo.toml")).unwrap();
    let manifest: toml::Table = manifest.parse().unwrap();
    let page = std::fs::read_to_string(root().join("docs/dependencies.md")).unwrap();
    let unix = &manifest["target"]["cfg(unix)"]["dependencies"];
    let tables = [&manifest["dependencies"], &manifest["dev-dependencies"], unix];
    let names: Vec<&str> =
        tables.iter().flat_map(|t| t.as_table().unwrap().keys()).map(String::as_str).collect();
    assert!(names.len() > 40);
    let silent: Vec<_> = names.iter().filter(|n| !page.contains(&format!("`{n}`"))).collect();
    assert!(silent.is_empty(), "no reason in docs/dependencies.md: {silent:?}");
    let first = page.lines().filter_map(|line| line.strip_prefix("| `")?.split(" |").next());
    let listed = first.flat_map(|cell| cell.split(',')).map(|name| name.trim_matches(['`', ' ']));
    let gone: Vec<_> = listed.filter(|name| !names.contains(name)).collect();
    assert!(gone.is_empty(), "no longer a dependency: {gone:?}");
}

#[test]
fn every_command_of_the_guide_runs_and_prints_what_the_page_shows() {
    let pages = pages();
    assert!(pages.len() >= 6);
    let failed: Vec<_> =
        pages.iter().filter(|p| std::panic::catch_unwind(|| run(p)).is_err()).collect();
    assert!(failed.is_empty(), "{failed:?}; each is told above");
}

#[test]
fn every_link_of_the_guide_leads_to_a_file() {
    for page in pages().into_iter().chain([root().join("README.md"), root().join("CHANGELOG.md")]) {
        let text = std::fs::read_to_string(&page).unwrap();
        for target in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            let there =
                target.starts_with("https://") || page.parent().unwrap().join(target).exists();
            assert!(there, "{}: {target}", page.display());
        }
    }
}

#[test]
fn an_output_that_is_not_there_is_found_missing() {
    let shown: Vec<String> = ["first", "…", "second"].map(str::to_owned).into();
    assert_eq!(missing(&shown, "first\nother\nsecond\n"), None);
    assert_eq!(missing(&shown, "second\nfirst\n"), Some("second"));
    assert_eq!(wanted("mastside explain a.txt   # exit status 3: too little"), "3");
    assert_eq!(wanted("mastside lookup B20"), "0");
}
