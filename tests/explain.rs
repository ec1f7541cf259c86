//! The program as its users call it: formats, exit statuses, bad input, nothing unsafe printed.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn mastside(arguments: &[&str], input: &[u8]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_mastside"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // The program may end before it has read everything.
    let _ = child.stdin.take().unwrap().write_all(input);
    child.wait_with_output().unwrap()
}

fn explain(input: &str, more: &[&str]) -> (i32, String, String) {
    let output = mastside(&[&["explain"], more, &["-"]].concat(), input.as_bytes());
    (
        output.status.code().unwrap(),
        String::from_utf8(output.stdout).unwrap(),
        String::from_utf8(output.stderr).unwrap(),
    )
}

const PIN: &str = "AT+CPIN?\r\n+CPIN: SIM PIN\r\nOK\r\n";

#[test]
fn exit_statuses_tell_what_was_found() {
    assert_eq!(
        explain("AT+CEREG?\n+CEREG: 0,1\nOK\nAT+CGPADDR\n+CGPADDR: 1,\"192.0.2.1\"\nOK", &[]).0,
        0
    );
    assert_eq!(explain(PIN, &[]).0, 1);
    assert_eq!(explain("AT\nOK", &[]).0, 3);
}

#[test]
fn the_first_line_is_a_sentence_for_a_tired_person() {
    let (_, out, _) = explain(PIN, &[]);
    assert_eq!(out.lines().next(), Some("The SIM waits for its PIN."));
    assert!(out.contains("+CPIN: SIM PIN"), "{out}");
}

#[test]
fn no_line_is_wider_than_a_terminal_of_80_columns() {
    let (_, out, _) = explain(PIN, &["--all", "--return"]);
    let mut wide: Vec<String> = Vec::new();
    wide.extend(out.lines().filter(|l| l.chars().count() > 80).map(str::to_owned));
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/captures");
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|e| e == "txt") {
            let output = mastside(&["explain", "--all", path.to_str().unwrap()], b"");
            let page = String::from_utf8(output.stdout).unwrap();
            wide.extend(page.lines().filter(|l| l.chars().count() > 80).map(str::to_owned));
        }
    }
    assert!(wide.is_empty(), "{}", wide.join("\n"));
}

#[test]
fn json_holds_the_contract() {
    let (status, out, _) = explain(PIN, &["--format", "json"]);
    let object: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(status, 1);
    assert_eq!(object["format"], 1);
    assert_eq!(object["verdict"]["finding"], "card/pin-required");
    assert_eq!(object["verdict"]["certainty"], "certain");
    let held = object["judgements"]
        .as_array()
        .unwrap()
        .iter()
        .find(|j| j["judgement"] == "holds")
        .unwrap();
    assert_eq!(held["evidence"][0]["line"], 2);
    assert!(object["ask_next"].as_array().unwrap().iter().all(|a| a["changes"] == false));
}

#[test]
fn the_schema_names_every_member_of_the_verdict() {
    let schema: serde_json::Value =
        serde_json::from_slice(&mastside(&["schema"], b"").stdout).unwrap();
    let (_, out, _) = explain(PIN, &["--format", "json"]);
    let object: serde_json::Value = serde_json::from_str(&out).unwrap();
    let members: Vec<_> = object.as_object().unwrap().keys().collect();
    for member in members {
        assert!(schema["properties"].get(member).is_some(), "{member}");
    }
}

/// The values that the schema allows for a member of one of its objects.
fn allowed(schema: &serde_json::Value, object: &str, member: &str) -> Vec<String> {
    let property = &schema["$defs"][object]["properties"][member];
    let reference = property["$ref"].as_str().or(property["anyOf"][0]["$ref"].as_str()).unwrap();
    let name = reference.strip_prefix("#/$defs/").unwrap();
    let cases = schema["$defs"][name]["oneOf"].as_array().unwrap();
    cases.iter().map(|case| case["const"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn the_schema_lists_the_words_of_the_contract() {
    let schema: serde_json::Value =
        serde_json::from_slice(&mastside(&["schema"], b"").stdout).unwrap();
    let roles = ["installer", "carrier", "account-holder", "maker", "nobody"];
    let sure = ["possible", "likely", "certain"];
    assert_eq!(allowed(&schema, "VerdictObject", "certainty"), sure);
    assert_eq!(allowed(&schema, "JudgementObject", "certainty"), sure);
    assert_eq!(allowed(&schema, "VerdictObject", "acts"), roles);
    assert_eq!(allowed(&schema, "ActionObject", "by"), roles);
    assert_eq!(allowed(&schema, "JudgementObject", "judgement"), ["holds", "ruled-out", "open"]);
    assert_eq!(allowed(&schema, "ReturnObject", "advice"), ["no", "not-yet", "yes"]);
    let states = ["clear", "trouble", "told", "open"];
    assert_eq!(allowed(&schema, "CheckObject", "state"), states);
    let kinds = ["reserve", "doubt", "history", "setting", "profile", "progress", "text"];
    assert_eq!(allowed(&schema, "RemarkObject", "kind"), kinds);
}

#[test]
fn what_was_not_understood_stands_in_every_format() {
    let text = "AT+XQTEST?\r\n+XQTEST: 4\r\nOK\r\nAT+CGACT=1,1\r\n+CME ERROR: 811\r\n";
    let (_, json, _) = explain(text, &["--format", "json"]);
    let object: serde_json::Value = serde_json::from_str(&json).unwrap();
    let unread = &object["unread"];
    assert_eq!(unread[0]["why"], "unknown-command");
    assert_eq!((&unread[0]["line"], &unread[0]["request"]), (&2.into(), &"AT+XQTEST?".into()));
    assert_eq!(unread[1]["why"], "unknown-words");
    assert_eq!(object["unread_more"], 0);
    for format in ["text", "markdown"] {
        let (_, page, _) = explain(text, &["--format", format]);
        assert!(page.contains("Not understood") && page.contains("+XQTEST: 4"), "{page}");
        assert!(page.contains("811: this vendor's own number, no meaning"), "{page}");
    }
    let (_, page, _) = explain(PIN, &[]);
    assert!(!page.contains("Not understood"), "{page}");
}

#[test]
fn bad_input_is_one_sentence_and_nothing_on_standard_output() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let binary: Vec<u8> = (0u8..=255).cycle().take(9000).collect();
    let cases = [
        (write("empty", b""), "empty"),
        (write("blank", b" \n\t\n"), "empty"),
        (write("binary", &binary), "binary"),
        (folder.path().to_str().unwrap().to_owned(), "folder"),
        (folder.path().join("none").to_str().unwrap().to_owned(), "no such file"),
    ];
    for (path, word) in cases {
        let output = mastside(&["explain", &path], b"");
        let error = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{path}");
        assert!(output.stdout.is_empty(), "{path}");
        assert!(error.contains(word) && error.lines().count() == 1, "{error}");
    }
}

#[test]
fn a_text_without_any_modem_says_so() {
    let (status, out, _) = explain("Dear all, the meeting is on Monday.\n", &[]);
    assert_eq!(status, 3);
    assert!(out.starts_with("The text has no response of a modem"), "{out}");
}

#[test]
fn nothing_that_a_terminal_obeys_and_no_identity_is_printed() {
    let nasty = "AT+CIMI\r\n001010123456789\r\nOK\r\nAT+CCID\r\n+CCID: 89880000000000000016\r\nOK\r\nAT+CRSM=176,28423,0,0,9\r\n+CRSM: 144,0,\"080910101032547698\"\r\nOK\r\n\
                 AT+CGDCONT?\r\n+CGDCONT: 1,\"IP\",\"your.apn\u{1b}]0;x\u{7}\u{202e}here<script>\",\"\"\r\nOK\r\nAT+CGATT?\r\n+CGATT: 1\r\nOK\r\n";
    for format in ["text", "json", "markdown", "message", "html"] {
        for more in [&["--all"][..], &["--return"][..]] {
            let (_, out, _) = explain(nasty, &[&["--format", format], more].concat());
            assert!(!out.contains(['\u{1b}', '\u{7}', '\u{202e}']), "{format}: {out:?}");
            for digits in ["001010123456789", "89880000000000000016", "080910101032547698"] {
                assert!(!out.contains(digits), "{format}: {out}");
            }
        }
    }
    let (_, out, _) = explain(
        "AT+CCID\r\n+CCID: 8988000000000000017\r\nOK\r\n",
        &["--unmask", "--format", "json"],
    );
    assert!(out.contains("8988000000000000017"), "{out}");
}

#[test]
fn several_modems_stand_in_the_object_and_the_worst_decides() {
    let text = "AT\r\nOK\r\nAT+CGSN\r\n004400152020000\r\nOK\r\nAT+CPIN?\r\n+CME ERROR: 10\r\n\
                AT\r\nOK\r\nAT+CGSN\r\n004401152020008\r\nOK\r\nAT+CEREG?\r\n+CEREG: 0,1\r\nOK\r\n";
    let (status, out, _) = explain(text, &["--format", "json"]);
    let object: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!((status, &object["verdict"]["finding"]), (1, &"card/not-detected".into()));
    let findings: Vec<_> =
        object["devices"].as_array().unwrap().iter().map(|d| &d["verdict"]["finding"]).collect();
    assert_eq!(findings, ["card/not-detected", "connected"]);
    assert!(!out.contains("004400152020000"), "{out}");
}

#[test]
fn a_message_is_plain_words() {
    let (status, out, _) = explain(PIN, &["--format", "message"]);
    assert_eq!(status, 1);
    assert!(out.starts_with("Hello,") && out.contains("The SIM waits for its PIN."), "{out}");
    assert!(!out.contains("card/pin-required"), "{out}");
}

#[test]
fn no_secret_is_printed_and_a_redacted_text_has_none() {
    let text = "AT+CPIN=\"4821\"\r\nERROR\r\nAT+CGAUTH=1,1,\"weir\",\"s3cretword\"\r\nOK\r\n\
                AT+CGDCONT?\r\n+CGDCONT: 1,\"IP\",\"gauge.example\",\"\",0,0\r\nOK\r\n\
                AT+CGPADDR=1\r\n+CGPADDR: 1,\"10.20.30.40\"\r\nOK\r\nAT+CEREG?\r\n+CEREG: 0,1\r\nOK\r\n";
    let secrets = ["4821", "weir", "s3cretword", "10.20.30.40"];
    for format in ["text", "json", "markdown", "message", "html"] {
        let (_, out, _) = explain(text, &["--format", format, "--all"]);
        assert!(secrets.iter().all(|s| !out.contains(s)), "{format}: {out}");
    }
    let redacted = String::from_utf8(mastside(&["redact"], text.as_bytes()).stdout).unwrap();
    assert!(secrets.iter().all(|s| !redacted.contains(s)), "{redacted}");
    assert!(redacted.contains("gauge.example"), "{redacted}");
    assert_eq!(redacted.lines().count(), text.lines().count());
    let verdict = |text: &str| -> serde_json::Value {
        let (_, out, _) = explain(text, &["--format", "json"]);
        serde_json::from_str::<serde_json::Value>(&out).unwrap()["verdict"].take()
    };
    assert_eq!(verdict(&redacted), verdict(text));
}

#[test]
fn a_second_text_narrows_the_first() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let first = path("first.txt", "AT+CEREG?\n+CEREG: 0,3\nOK\n");
    let second = path("second.txt", "AT+CEREG=3\nOK\nAT+CEREG?\n+CEREG: 3,3,,,,0,8\nOK\n");
    let output = mastside(&["explain", &first, &second], b"");
    let out = String::from_utf8(output.stdout).unwrap();
    assert!(out.contains("registration/subscriber"), "{out}");
    assert!(out.contains("The last text settled"), "{out}");
    assert!(out.contains(Path::new(&second).file_name().unwrap().to_str().unwrap()), "{out}");
}

#[test]
fn every_command_has_help_whose_first_line_is_imperative() {
    for command in [
        "explain",
        "desk",
        "redact",
        "ports",
        "examine",
        "amend",
        "rehearse",
        "carrier",
        "survey",
        "align",
        "commission",
        "compare",
        "lookup",
        "rules",
        "schema",
    ] {
        let output = mastside(&[command, "-h"], b"");
        let text = String::from_utf8(output.stdout).unwrap();
        let first = text.lines().next().unwrap();
        assert!(output.status.success() && !first.ends_with('.'), "{command}: {first}");
    }
}

#[test]
fn the_object_has_the_words_of_remarks_and_of_a_return() {
    let read = |text: &str| -> serde_json::Value {
        let (_, out, _) = explain(text, &["--format", "json", "--return"]);
        serde_json::from_str(&out).unwrap()
    };
    let connected = read("AT+CREG?\n+CREG: 0,3\nOK\nAT+CEREG?\n+CEREG: 0,1\nOK\n");
    assert_eq!(connected["return"]["advice"], "no");
    let kinds: Vec<_> =
        connected["remarks"].as_array().unwrap().iter().map(|r| r["kind"].clone()).collect();
    assert_eq!(kinds, ["doubt"]);
    let silent = read("AT\nAT\nAT\nAT\n");
    assert_eq!(silent["return"]["advice"], "not-yet");
    assert_eq!(silent["return"]["checks"][2]["state"], "trouble");
    assert_eq!(silent["return"]["checks"][2]["evidence"]["line"], 4);
}
