//! The whole program over many records: one row each, in order, whatever the records hold.

use serde_json::{Value, json};
use std::io::{BufRead, BufReader, Read, Write};
use std::process::{Command, Stdio};

fn program() -> Command {
    let mut program = Command::new(env!("CARGO_BIN_EXE_mastside"));
    program.arg("triage").current_dir(env!("CARGO_MANIFEST_DIR"));
    program
}

/// What the program answers to these bytes as a stream, and its exit status.
fn stream(input: &[u8]) -> (Vec<Value>, Option<i32>) {
    let mut child = program()
        .args(["--format", "jsonl", "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let input = input.to_vec();
    let feed = std::thread::spawn(move || stdin.write_all(&input).unwrap());
    let output = child.wait_with_output().unwrap();
    feed.join().unwrap();
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(text.is_empty() || text.ends_with('\n'));
    (text.lines().map(|line| serde_json::from_str(line).unwrap()).collect(), output.status.code())
}

const KEYS: [&str; 8] =
    ["site", "at", "finding", "kind_of", "certainty", "acts", "summary", "error"];

#[test]
fn every_record_gets_one_row_in_order_whatever_it_holds() {
    let pin = "AT+CPIN?\r\n+CPIN: SIM PIN\r\nOK\r\n";
    let good = |n: usize| {
        json!({"site": format!("s{n}"), "at": "2026-05-04T06:00:00Z", "text": pin}).to_string()
    };
    let large = json!({"site": "large", "at": null, "text": format!("{}{pin}", "noise of a log line\r\n".repeat(20_000))});
    let mut input: Vec<u8> = Vec::new();
    let mut sites: Vec<Value> = Vec::new();
    let mut add = |line: &[u8], site: Value| {
        input.extend_from_slice(line);
        input.push(b'\n');
        sites.push(site);
    };
    for n in 0..300 {
        add(good(n).as_bytes(), json!(format!("s{n}")));
    }
    add(b"{\"site\":\"latin\",\"text\":\"caf\xe9\"}", json!("latin"));
    add(b"\x00\xff\xfe\x01 binary", Value::Null);
    add(b"", Value::Null);
    add(b"{\"site\":\"torn\",", Value::Null);
    add(b"{\"site\":17,\"at\":5}", json!(17));
    add(br#"{"site":"lone","text":"AT+CPIN?\rOK"}"#, json!("lone"));
    add(large.to_string().as_bytes(), json!("large"));
    add(&vec![b'x'; 3_000_000], Value::Null);
    for n in 300..310 {
        add(good(n).as_bytes(), json!(format!("s{n}")));
    }
    input.pop(); // The last record has no line end.
    let (rows, status) = stream(&input);
    assert_eq!(status, Some(0));
    assert_eq!(rows.iter().map(|r| r["site"].clone()).collect::<Vec<_>>(), sites);
    for row in &rows {
        let keys: Vec<&String> = row.as_object().unwrap().keys().collect();
        assert_eq!(keys[..8], KEYS);
        assert_ne!(row["finding"].is_null(), row["error"].is_null(), "{row}");
    }
    assert_eq!(rows[0]["finding"], "card/pin-required");
    assert_eq!(rows[306]["finding"], "card/pin-required", "{}", rows[306]);
}

#[test]
fn a_row_comes_before_the_next_record_is_sent() {
    let mut child = program()
        .args(["--format", "jsonl"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let mut rows = BufReader::new(child.stdout.take().unwrap());
    for n in 0..3 {
        writeln!(stdin, "{}", json!({"site": n, "text": "AT+CPIN?\r\n+CPIN: SIM PUK\r\nOK"}))
            .unwrap();
        let mut row = String::new();
        rows.read_line(&mut row).unwrap();
        assert_eq!(serde_json::from_str::<Value>(&row).unwrap()["site"], n);
    }
    drop(stdin);
    assert_eq!(child.wait().unwrap().code(), Some(0));
}

#[test]
fn no_record_at_all_is_no_trouble_for_a_filter() {
    assert_eq!(stream(b""), (vec![], Some(0)));
}

#[test]
fn the_schema_of_a_row_names_every_key_of_a_row() {
    let output =
        Command::new(env!("CARGO_BIN_EXE_mastside")).args(["schema", "triage-row"]).output();
    let schema: Value = serde_json::from_slice(&output.unwrap().stdout).unwrap();
    let record = json!({"site": "weir", "at": 1, "text": "AT+CPIN?\r\n+CPIN: SIM PIN\r\nOK\r\n"});
    let (rows, _) = stream(format!("{record}\n").as_bytes());
    for key in rows[0].as_object().unwrap().keys() {
        assert!(schema["properties"][key]["description"].is_string(), "{key}");
    }
    assert_eq!(rows[0].as_object().unwrap().len(), schema["properties"].as_object().unwrap().len());
}

/// A run that is interrupted (Ctrl-C) ends between two blocks, and the same command goes on from there.
#[cfg(unix)]
#[test]
fn an_interrupted_run_is_continued_and_no_record_is_lost() {
    const RECORDS: usize = 12_000;
    let folder = tempfile::tempdir().unwrap();
    let (records, rows) = (folder.path().join("records.jsonl"), folder.path().join("rows.jsonl"));
    let line = |n| json!({"site": n, "text": format!("AT+CSQ\r\n+CSQ: {},99\r\nOK\r\n", n % 32)});
    let text: String = (0..RECORDS).map(|n| format!("{}\n", line(n))).collect();
    std::fs::write(&records, text).unwrap();
    let run = |more: &[&str]| {
        let mut command = program();
        command.args(["--format", "jsonl", "--output"]).arg(&rows).args(more).arg(&records);
        command.stderr(Stdio::piped()).spawn().unwrap()
    };
    let child = run(&[]);
    while std::fs::metadata(&rows).map_or(0, |m| m.len()) == 0 {
        std::thread::sleep(std::time::Duration::from_millis(2));
    }
    let id = child.id().to_string();
    assert!(Command::new("kill").args(["-INT", &id]).status().unwrap().success());
    let ended = child.wait_with_output().unwrap();
    let said = String::from_utf8_lossy(&ended.stderr).into_owned();
    assert_eq!(ended.status.code(), Some(1), "{said}");
    assert!(said.contains("--resume goes on from there"), "{said}");
    let first = std::fs::read_to_string(&rows).unwrap().lines().count();
    assert!(0 < first && first < RECORDS, "{first}");
    // A row that was torn by a kill is answered anew.
    let mut torn = std::fs::OpenOptions::new().append(true).open(&rows).unwrap();
    torn.write_all(b"{\"site\":").unwrap();
    assert!(run(&["--resume"]).wait().unwrap().success());
    let all = std::fs::read_to_string(&rows).unwrap();
    let sites = all.lines().map(|row| serde_json::from_str::<Value>(row).unwrap()["site"].clone());
    assert!(sites.eq((0..RECORDS).map(|n| json!(n))));
}

/// Hours of answering come after this look at the names.
#[test]
fn what_cannot_be_read_or_written_is_refused_before_a_record_is_answered() {
    for (options, said) in [
        (&["--positions", "/nosuch.geojson"][..], "/nosuch.geojson"),
        (&["--html", "/nosuch/page.html"], "/nosuch/page.html"),
        (&["--output", "/nosuch/page.csv", "--format", "csv"], "/nosuch/page.csv"),
        (&["--format", "jsonl", "--positions", "places.geojson"], "--html"),
        (&["--format", "jsonl", "--since", "rows.jsonl"], "--html"),
        (&["--format", "jsonl", "--stale", "12"], "--html"),
        (&["--profiles", "/nosuch"], "/nosuch"),
    ] {
        let mut child = program()
            .args(options)
            .arg("-")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // The program ends although the stream of records stays open.
        let status = child.wait().unwrap();
        let mut text = String::new();
        child.stderr.take().unwrap().read_to_string(&mut text).unwrap();
        assert_eq!(status.code(), Some(2), "{options:?}: {text}");
        assert!(text.contains(said), "{options:?}: {text}");
    }
}
