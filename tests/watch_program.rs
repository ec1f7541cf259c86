//! The watch as a program: killed at many moments, told to put its log away, stopped, refused.
#![cfg(unix)]

use flate2::read::GzDecoder;
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

fn program() -> Command {
    let mut program = Command::new(env!("CARGO_BIN_EXE_mastside"));
    for home in ["HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME"] {
        program.env(home, std::env::temp_dir().join("mastside-no-home"));
    }
    program
}

/// A simulated modem, ended when dropped.
struct Rehearsal(Child);

impl Rehearsal {
    fn at(link: &Path) -> Self {
        let scenario =
            Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/scenarios/comes-and-goes.toml");
        let mut command = program();
        command.arg("rehearse").arg(scenario).arg("--link").arg(link);
        let child = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        let begun = Instant::now();
        while !link.exists() {
            assert!(begun.elapsed() < Duration::from_secs(20), "no simulated modem");
            std::thread::sleep(Duration::from_millis(10));
        }
        Self(child)
    }
}

impl Drop for Rehearsal {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn watch(folder: &Path, more: &[&str]) -> Child {
    let mut command = program();
    command.args(["watch", "./modem", "--every", "40ms", "--show", "--rotate-at", "4k"]).args(more);
    command.current_dir(folder).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap()
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let names = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path());
    names
        .filter(|f| {
            f.to_string_lossy().contains("watch")
                && f.is_file()
                && !f.ends_with(".watch.jsonl.lock")
        })
        .collect()
}

/// The numbers of all samples in whole lines, over all files; a compressed one whose plain one is there is not read.
fn numbers(folder: &Path) -> Vec<u64> {
    let all = files(folder);
    let mut found = Vec::new();
    for file in &all {
        let name = file.to_string_lossy().into_owned();
        let plain = name.strip_suffix(".gz").map(PathBuf::from);
        if name.ends_with(".part") || plain.is_some_and(|p| all.contains(&p)) {
            continue;
        }
        let mut text = String::new();
        let mut bytes = std::fs::File::open(file).unwrap();
        if name.ends_with(".gz") {
            GzDecoder::new(bytes).read_to_string(&mut text).unwrap();
        } else {
            bytes.read_to_string(&mut text).unwrap();
        }
        for line in text.lines() {
            if let Ok(line) = serde_json::from_str::<serde_json::Value>(line) {
                found.extend(line["sample"]["number"].as_u64());
            }
        }
    }
    found.sort_unstable();
    found
}

/// What is shown is on the disk, whatever the moment of the kill. `MASTSIDE_KILLS` sets how many.
#[test]
fn a_kill_loses_nothing_that_was_shown() {
    let kills = std::env::var("MASTSIDE_KILLS").map_or(12, |n| n.parse::<u64>().unwrap());
    let folder = tempfile::tempdir().unwrap();
    let _modem = Rehearsal::at(&folder.path().join("modem"));
    let mut shown: Vec<u64> = Vec::new();
    for kill in 0..kills {
        let mut child = watch(folder.path(), &[]);
        let mut out = BufReader::new(child.stdout.take().unwrap());
        let mut line = String::new();
        // Killed at another moment of the rounds each time; by the number of lines, and some way into the next one.
        let (lines, pause) = (3 + kill % 11, Duration::from_micros(kill * 7919 % 60_000));
        for _ in 0..lines {
            line.clear();
            assert!(out.read_line(&mut line).unwrap() > 0, "the watch ended");
            shown.extend(number_in(&line));
        }
        std::thread::sleep(pause);
        child.kill().unwrap();
        child.wait().unwrap();
        let mut rest = String::new();
        out.read_to_string(&mut rest).unwrap();
        shown.extend(rest.lines().filter_map(number_in));
        let kept = numbers(folder.path());
        let lost: Vec<_> = shown.iter().filter(|n| kept.binary_search(n).is_err()).collect();
        assert!(lost.is_empty(), "kill {kill}: {lost:?} of {} are lost", shown.len());
    }
    let kept = numbers(folder.path());
    assert!(kept.windows(2).all(|w| w[0] + 1 == w[1]), "each stands once: {kept:?}");
    assert!(files(folder.path()).len() > 2, "logs were put away meanwhile");
}

fn number_in(line: &str) -> Option<u64> {
    let (_, rest) = line.split_once("reading ")?;
    rest.split(',').next()?.trim().parse().ok()
}

fn signal(child: &Child, name: &str) {
    let sent = Command::new("kill").args([name, &child.id().to_string()]).status().unwrap();
    assert!(sent.success());
}

#[test]
fn a_hang_up_puts_the_log_away_and_a_stop_ends_in_order() {
    let folder = tempfile::tempdir().unwrap();
    let _modem = Rehearsal::at(&folder.path().join("modem"));
    // A session of its own has no terminal whose end would be meant.
    let mut command = Command::new("setsid");
    command.arg(env!("CARGO_BIN_EXE_mastside"));
    command.args(["watch", "./modem", "--every", "100ms", "--show"]).current_dir(folder.path());
    let mut child = command.stdout(Stdio::piped()).spawn().unwrap();
    let mut out = BufReader::new(child.stdout.take().unwrap());
    let mut line = String::new();
    while !line.contains("reading 3") {
        line.clear();
        assert!(out.read_line(&mut line).unwrap() > 0);
    }
    signal(&child, "-HUP");
    let begun = Instant::now();
    while files(folder.path()).len() < 2 {
        assert!(begun.elapsed() < Duration::from_secs(20), "nothing was put away");
        std::thread::sleep(Duration::from_millis(20));
    }
    signal(&child, "-TERM");
    assert_eq!(child.wait().unwrap().code(), Some(0));
    let log = std::fs::read_to_string(folder.path().join("watch.jsonl")).unwrap();
    assert!(log.lines().last().unwrap().contains("\"kind\":\"stopped\""), "{log}");
}

#[test]
fn a_watch_for_a_time_ends_by_itself_and_unusable_things_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let _modem = Rehearsal::at(&folder.path().join("modem"));
    let output = watch(folder.path(), &["--for", "1s"]).wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    std::fs::write(folder.path().join("letter.txt"), "dear all\n").unwrap();
    let output = watch(folder.path(), &["--log", "letter.txt"]).wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("no log of a watch"));
    let mut no_port = program();
    no_port.args(["watch", "./letter.txt", "--log", "other.jsonl"]).current_dir(folder.path());
    assert_eq!(no_port.output().unwrap().status.code(), Some(2));
}

/// A disk that is full, as a limit on the size of files: the program goes on, and the gap is an event once there is room.
#[test]
fn a_log_that_cannot_grow_is_no_end() {
    let folder = tempfile::tempdir().unwrap();
    let _modem = Rehearsal::at(&folder.path().join("modem"));
    let script = format!(
        "trap '' XFSZ; ulimit -f 8; exec {} watch ./modem --every 20ms --for 6s",
        env!("CARGO_BIN_EXE_mastside")
    );
    let mut command = Command::new("bash");
    command.args(["-c", &script]).current_dir(folder.path());
    let output = command.output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(String::from_utf8_lossy(&output.stderr).contains("the log cannot be written"));
    let log = std::fs::read(folder.path().join("watch.jsonl")).unwrap();
    assert!(log.len() > 7000 && log.ends_with(b"\n"), "{} bytes, whole lines", log.len());
    assert_eq!(
        watch(folder.path(), &["--for", "1s"]).wait_with_output().unwrap().status.code(),
        Some(0)
    );
}
