//! Tickets as the commands make, show, find and close them.

use std::path::Path;
use std::process::{Command, Output};

fn run(folder: &Path, arguments: &[&str]) -> (Option<i32>, String, String) {
    let program = Command::new(env!("CARGO_BIN_EXE_mastside"))
        .args(arguments)
        .env("XDG_CONFIG_HOME", folder)
        .current_dir(folder)
        .output();
    let Output { status, stdout, stderr } = program.unwrap();
    (status.code(), String::from_utf8(stdout).unwrap(), String::from_utf8(stderr).unwrap())
}

fn written(folder: &Path, name: &str, text: &str) {
    std::fs::write(folder.join(name), text).unwrap();
}

const FIRST: &str = "AT+CIMI\n001010123456789\nOK\nAT+CEREG?\n+CEREG: 0,3\nOK\n";
const ANSWER: &str = "AT+CEREG=3\nOK\nAT+CEREG?\n+CEREG: 3,3,,,,0,8\nOK\n";

#[test]
fn a_ticket_grows_is_shown_and_closed() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    written(folder, "first.txt", FIRST);
    written(folder, "answer.txt", ANSWER);
    let (status, page, _) = run(folder, &["explain", "first.txt", "--ticket", "all/T-1"]);
    assert!(status == Some(1) && page.contains("registration/denied"), "{page}");
    let (_, page, _) = run(folder, &["explain", "answer.txt", "--ticket", "all/T-1"]);
    assert!(page.contains("registration/subscriber"), "{page}");
    assert!(page.lines().all(|l| l != "AT+CEREG?"), "asked twice: {page}");
    let kept = std::fs::read_to_string(folder.join("all/T-1/text-01.txt")).unwrap();
    assert!(!kept.contains("001010123456789") && kept.contains("+CEREG: 0,3"), "{kept}");
    let (status, page, _) = run(folder, &["ticket", "show", "all/T-1"]);
    assert!(status == Some(0) && page.contains("answered: AT+CEREG=3"), "{page}");
    let (status, page, _) = run(folder, &["ticket", "list", "all", "--format", "json"]);
    let list: serde_json::Value = serde_json::from_str(&page).unwrap();
    assert_eq!(status, Some(0));
    assert_eq!(list["tickets"][0]["finding"], "registration/subscriber");
    assert_eq!(list["tickets"][0]["texts"], 2);
    let note = "card 8988000000000000016 was blocked";
    assert_eq!(run(folder, &["ticket", "close", "all/T-1", note]).0, Some(0));
    let (status, _, error) = run(folder, &["explain", "first.txt", "--ticket", "all/T-1"]);
    assert!(status == Some(2) && error.contains("ticket reopen"), "{error}");
    let (_, page, _) = run(folder, &["ticket", "list", "all", "--closed"]);
    assert!(page.contains("was blocked") && !page.contains("8988000000000000016"), "{page}");
    assert_eq!(run(folder, &["ticket", "reopen", "all/T-1"]).0, Some(0));
}

#[test]
fn a_wrong_use_is_refused_with_a_sentence_and_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    written(folder, "first.txt", FIRST);
    for (arguments, says) in [
        (&["explain", "first.txt", "--ticket", "."][..], "no ticket"),
        (&["explain", "first.txt", "--ticket", "t", "--unmask"], "--unmask"),
        (&["explain", "first.txt", "--keep-original"], "--ticket"),
        (&["ticket", "show", "none"], "no ticket"),
        (&["ticket", "list", "none"], "none"),
        (&["ticket", "close", "none", " "], "closing note"),
        (&["ticket", "close", "none", "x", "--was", "card/none"], "no rule"),
    ] {
        let (status, _, error) = run(folder, arguments);
        assert!(status == Some(2) && error.contains(says), "{arguments:?}: {error}");
    }
    assert_eq!(std::fs::read_dir(folder).unwrap().count(), 1);
}

#[test]
fn a_damaged_ticket_hides_no_other_one() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    written(folder, "first.txt", FIRST);
    for ticket in ["all/a", "all/b"] {
        run(folder, &["explain", "first.txt", "--ticket", ticket]);
    }
    written(folder, "all/a/ticket.toml", "format = \u{1b}");
    let (status, page, error) = run(folder, &["ticket", "list", "all"]);
    assert!(status == Some(1) && page.contains("1 open ticket"), "{page}");
    assert!(error.contains("ticket.toml") && !error.contains('\u{1b}'), "{error:?}");
}
