//! Surveys through the program: recording, a kill at any moment, reports and exports, acceptance,
//! comparison.

use std::path::Path;
use std::process::{Command, Output, Stdio};

const WALK: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/walk/huts.toml");

fn mastside(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_mastside"))
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::null())
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn a_walk_is_recorded_reported_and_exported() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    assert!(
        mastside(at, &["survey", "record", "w.jsonl", "--simulate", WALK, "--title", "=Walk <b>"])
            .status
            .success()
    );
    let report = text(&mastside(at, &["survey", "report", "w.jsonl", "--html", "w.html"]).stdout);
    assert!(
        report.contains("hut door")
            && report.contains("95 % bounds")
            && report.contains("SIMULATED"),
        "{report}"
    );
    let page = std::fs::read_to_string(at.join("w.html")).unwrap();
    assert!(
        page.contains("&lt;b&gt;")
            && !page.contains("<b>")
            && !page.contains("src=")
            && !page.contains("href="),
        "no markup of the data, no network"
    );
    let csv = text(&mastside(at, &["survey", "export", "w.jsonl"]).stdout);
    assert!(
        csv.lines().count() > 5 && !csv.contains("SIMULATED") && csv.contains(",true\r\n"),
        "{csv}"
    );
    let samples = text(&mastside(at, &["survey", "export", "w.jsonl", "--to", "samples"]).stdout);
    assert_eq!(samples.lines().count(), 2251);
    assert!(samples.contains(",00101,"), "network codes stay text");
    let geo: serde_json::Value = serde_json::from_slice(
        &mastside(at, &["survey", "export", "w.jsonl", "--to", "geojson"]).stdout,
    )
    .unwrap();
    assert_eq!(geo["type"], "FeatureCollection");
    let first = &geo["features"][0]["geometry"]["coordinates"];
    assert!(first[0].as_f64().unwrap().abs() <= 180.0 && first[1].as_f64().unwrap().abs() <= 90.0);
    let gpx = text(&mastside(at, &["survey", "export", "w.jsonl", "--to", "gpx"]).stdout);
    assert!(gpx.contains("<wpt lat=") && gpx.ends_with("</gpx>\n"));
}

/// Killed at many moments, what is in the file stays, the file opens, and the survey goes on.
#[test]
fn a_kill_loses_nothing_that_was_recorded() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let file = at.join("k.jsonl");
    // Kills fall around the time that this machine takes for a start and the first samples.
    let begun = std::time::Instant::now();
    mastside(at, &["survey", "record", "first.jsonl", "--simulate", WALK, "--count", "3"]);
    let first = begun.elapsed();
    let mut before = 0;
    for turn in 0..200u32 {
        let mut child = Command::new(env!("CARGO_BIN_EXE_mastside"))
            .args(["survey", "record", "k.jsonl", "--simulate", WALK])
            .current_dir(at)
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(first / 4 + first * (turn * 7 % 60) / 40);
        child.kill().unwrap();
        child.wait().unwrap();
        let whole = std::fs::read_to_string(&file).unwrap_or_default();
        let samples =
            whole.lines().filter(|l| l.starts_with("{\"sample\"") && l.ends_with('}')).count();
        assert!(samples >= before, "turn {turn}: {samples} after {before}");
        before = samples;
        // A kill may fall into a line; opening again cuts it off.
        let half = std::fs::OpenOptions::new().append(true).open(&file);
        if turn % 5 == 0 && whole.contains('\n') {
            use std::io::Write;
            if let Ok(mut half) = half {
                half.write_all(b"{\"sample\":{\"number\":").unwrap();
            }
        }
    }
    assert!(before > 0);
    let last = mastside(at, &["survey", "record", "k.jsonl", "--simulate", WALK, "--count", "5"]);
    assert!(last.status.success(), "{}", text(&last.stderr));
    let report = text(&mastside(at, &["survey", "report", "k.jsonl"]).stdout);
    let counted: usize = report.split(' ').next().unwrap().parse().unwrap();
    assert_eq!(counted, before + 5);
}

#[test]
fn acceptance_passes_fails_or_is_incomplete_by_its_criteria() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    mastside(at, &["survey", "record", "w.jsonl", "--simulate", WALK]);
    let status = |criteria: &str| {
        std::fs::write(at.join("c.toml"), criteria).unwrap();
        let out = mastside(
            at,
            &[
                "commission",
                "w.jsonl",
                "--criteria",
                "c.toml",
                "--record",
                "r.json",
                "--html",
                "r.html",
                "--markdown",
                "r.md",
                "--site",
                "Hut | <7>",
            ],
        );
        out.status.code().unwrap()
    };
    assert_eq!(status("[[level]]\nof = \"rsrp\"\npercentile = 10\nat_least = -120\n"), 0);
    assert_eq!(
        status("[[level]]\nof = \"rsrp\"\npercentile = 10\nat_least = -110\n"),
        1,
        "inside the hut"
    );
    let door =
        "spots = [\"hut door\"]\n[[level]]\nof = \"rsrp\"\npercentile = 10\nat_least = -110\n";
    assert_eq!(status(door), 0);
    assert_eq!(status("access_point = \"gauge.example\"\n"), 3);
    assert_eq!(status("no_such_key = 1\n"), 2);
    let record: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(at.join("r.json")).unwrap()).unwrap();
    assert_eq!(record["evidence_sha256"][0][1].as_str().unwrap().len(), 64);
    let page = std::fs::read_to_string(at.join("r.html")).unwrap();
    assert!(
        page.contains("Cautions") && !page.contains("<7>"),
        "cautions stand there, and no markup of the data"
    );
}

#[test]
fn comparing_tells_what_got_worse_by_its_exit_status() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    std::fs::write(at.join("a.txt"), "AT+CEREG?\n+CEREG: 0,1\nOK\nAT+CGACT?\n+CGACT: 1,1\nOK\n")
        .unwrap();
    std::fs::write(at.join("b.txt"), "AT+CEREG?\n+CEREG: 0,2\nOK\n").unwrap();
    assert_eq!(mastside(at, &["compare", "a.txt", "b.txt"]).status.code(), Some(1));
    assert_eq!(mastside(at, &["compare", "b.txt", "a.txt"]).status.code(), Some(0));
    assert_eq!(mastside(at, &["compare", "a.txt", "a.txt"]).status.code(), Some(0));
    assert_eq!(mastside(at, &["compare", "a.txt", "none.txt"]).status.code(), Some(2));
    mastside(at, &["survey", "record", "w.jsonl", "--simulate", WALK]);
    let accept = |name: &str, antenna: &str| {
        mastside(at, &["commission", "w.jsonl", "--record", name, "--antenna", antenna]);
    };
    accept("r.json", "panel");
    accept("s.json", "whip");
    let said = mastside(at, &["compare", "r.json", "s.json"]);
    assert_eq!(said.status.code(), Some(0));
    assert!(text(&said.stdout).contains("antenna: panel before, whip now"));
    let mixed = mastside(at, &["compare", "r.json", "w.jsonl"]);
    assert_eq!(mixed.status.code(), Some(2));
    assert!(text(&mixed.stderr).contains("an acceptance record, the later one a survey"));
}

#[test]
fn a_live_modem_is_sampled_with_its_own_commands_with_branches_and_neighbours() {
    use mastside::at::Client;
    use mastside::port::Recorder;
    use mastside::simulator::{Line, Modem, Scenario};
    use mastside::survey::live::Live;
    use mastside::survey::reading::Source;
    let scenario = Scenario::parse(
        r#"
title = "a modem with two branches"
story = "invented"
finding = "connected"
[modem]
verbose = false
[modem.replies]
'AT+QENG="SERVINGCELL"' = ['+QENG: "servingcell","NOCONN","LTE","FDD",001,01,A1B2C01,188,6300,20,3,3,900,-97,-9,-71,11,23']
'AT+QENG="NEIGHBOURCELL"' = ['+QENG: "neighbourcell intra","LTE",6300,77,-14,-108,-80,-,12,4,12,10,62']
"AT+QRSRP" = ["+QRSRP: -97,-103,-140,-140,LTE"]
"AT+QGPSLOC=2" = ["+QGPSLOC: 101112.0,50.50000,8.25000,0.9,212.5,3,0.0,0.0,0.0,040326,07"]
"#,
    )
    .unwrap();
    let mut modem = Modem::new(scenario);
    let stop = std::sync::atomic::AtomicBool::new(false);
    let reading = {
        let mut line = Line::new(&mut modem, 7);
        let mut client = Client::new(&mut line, Recorder::new(), &stop);
        let mut live = Live::begin(&mut client, false).unwrap();
        let reading = live.read().unwrap().unwrap();
        assert!(live.end().is_empty());
        reading
    };
    assert_eq!(reading.levels.rsrp_dbm, Some(-97.0));
    assert_eq!(reading.branches, [Some(-97.0), Some(-103.0), None, None]);
    assert_eq!(reading.neighbours.len(), 1);
    assert_eq!(reading.cell.band, Some(20));
    let place = reading.position.unwrap();
    assert_eq!((place.latitude, place.longitude, place.accuracy_m), (50.5, 8.25, Some(4.5)));
    assert!(!modem.settings().verbose, "the form of results was put back");
}

#[test]
#[cfg(unix)]
fn a_port_in_the_place_of_the_survey_file_is_neither_written_to_nor_waited_for() {
    let folder = tempfile::tempdir().unwrap();
    for arguments in [
        &["survey", "record", "/dev/null", "--simulate", WALK][..],
        &["survey", "report", "/dev/null"],
        &["commission", "/dev/null"],
    ] {
        let out = mastside(folder.path(), arguments);
        assert_eq!(out.status.code(), Some(2), "{arguments:?}");
        assert!(text(&out.stderr).contains("the modem's port behind it"), "{arguments:?}");
    }
}

const SITES: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/demo/sites");

#[test]
fn sites_and_their_visits_are_reported_and_compared_from_a_folder() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let report = text(&mastside(at, &["survey", "report", SITES, "--html", "s.html"]).stdout);
    assert!(report.contains("Alder Ford, hut door: 4 visits, 2026-03-02"), "{report}");
    let page = std::fs::read_to_string(at.join("s.html")).unwrap();
    assert!(page.contains("Over the visits") && page.contains("Reed Lock: inside the hut"));
    let said = mastside(at, &["compare", SITES]);
    assert_eq!(said.status.code(), Some(1));
    let said = text(&said.stdout);
    let first = said.lines().next().unwrap();
    assert!(
        first.starts_with("worse ") && first.contains("Reed Lock") && first.contains("registered"),
        "{said}"
    );
    assert!(said.contains("Alder Ford, hut door: the level changed by -"), "{said}");
    assert!(said.contains("SIMULATED") && said.contains("at most 5 in 100"), "{said}");
    let pattern = format!("{SITES}/alder-*/2026-0*.jsonl");
    let some = text(&mastside(at, &["survey", "report", &pattern]).stdout);
    assert!(some.contains("3 visits") && !some.contains("Reed Lock"), "{some}");
}

/// What a file with something wrong in it makes the program say.
fn said(lines: &[String]) -> (Option<i32>, String) {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("w.jsonl"), lines.join("\n") + "\n").unwrap();
    let out = mastside(folder.path(), &["survey", "report", "w.jsonl"]);
    (out.status.code(), text(&out.stderr))
}

#[test]
fn bad_lines_of_every_kind_are_left_out_and_said_with_their_number() {
    let head = r#"{"head":{"format":1}}"#.to_owned();
    let sample = |number: u32, change: &dyn Fn(&mut serde_json::Value)| {
        let at = format!("2026-05-04T08:{:02}:{:02}.000Z", number / 60, number % 60);
        let mut line = serde_json::json!({"sample": {"number": number, "at": at, "spot": "door", "pass": 1,
            "levels": {"rsrp_dbm": -98.0}, "registration": 1,
            "position": {"latitude": 48.0, "longitude": 8.0}}});
        change(&mut line["sample"]);
        line.to_string()
    };
    let good = |number| sample(number, &|_| {});
    let with = |bad: String| said(&[head.clone(), good(1), good(2), bad, good(4), good(5)]);
    for (bad, sentence) in [
        (
            sample(3, &|s| s["levels"]["rsrp_dbm"] = 255.into()),
            "line 4: rsrp_dbm 255 lies outside -157 to -25 dBm",
        ),
        (
            sample(3, &|s| s["levels"]["rsrp_dbm"] = (-9500).into()),
            "line 4: rsrp_dbm -9500 lies outside -157 to -25 dBm",
        ),
        (
            sample(3, &|s| s["position"]["latitude"] = 91.into()),
            "line 4: latitude 91 lies outside -90 to 90 degrees",
        ),
        (good(2), "line 4: sample 2 is in the file twice; left out"),
        (
            sample(3, &|s| s["at"] = "2080-01-01T00:00:00Z".into()),
            "line 4: the clock jumps from 2026-05-04 08:00:02 to 2080-01-01 00:00:00; left out",
        ),
        ("not a line".into(), "line 4: "),
    ] {
        let (status, words) = with(bad);
        assert_eq!(status, Some(0), "{words}");
        assert!(words.contains(sentence), "{sentence} in {words}");
    }
    let marked = said(&[format!("\u{feff}{head}"), good(1), good(2)]);
    assert_eq!(marked, (Some(0), String::new()), "a byte-order mark is no fault");
    let backwards: Vec<String> =
        std::iter::once(head.clone()).chain((1..40).rev().map(good)).collect();
    let (status, words) = said(&backwards);
    assert_eq!(status, Some(2));
    assert!(words.contains("are in the wrong order") && words.contains("`number`"), "{words}");
}

#[test]
fn a_survey_is_read_from_standard_input() {
    let folder = tempfile::tempdir().unwrap();
    let file = std::fs::File::open(format!("{SITES}/alder-ford/2026-03-02.jsonl")).unwrap();
    let out = Command::new(env!("CARGO_BIN_EXE_mastside"))
        .args(["survey", "export", "-"])
        .current_dir(folder.path())
        .stdin(file)
        .output()
        .unwrap();
    assert!(text(&out.stdout).contains("Alder Ford,2026-03-02"), "{}", text(&out.stderr));
}
