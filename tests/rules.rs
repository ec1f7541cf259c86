//! The rules as their users see them: ids, the generated page, a team's own file.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

fn mastside(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_mastside"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap()
}

fn page(arguments: &[&str]) -> String {
    let output = mastside(arguments);
    assert!(output.status.code().is_some_and(|c| c != 2), "{output:?}");
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_generated_page_is_in_step_with_the_rules() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/rules/PAGES.md");
    let kept = fs::read_to_string(path).unwrap();
    let made = page(&["rules", "--markdown"]);
    assert!(kept == made, "make it anew: mastside rules --markdown > src/rules/PAGES.md");
}

/// Every finding that the program can name, by layer; other programs and people's notes use them.
const IDS: &[(&str, &[&str])] = &[
    (
        "host",
        &[
            "no-modem",
            "port-busy",
            "port-denied",
            "port-not-at",
            "port-silent",
            "no-at-port",
            "boot-loader",
        ],
    ),
    ("device", &["radio-off", "not-ready", "restarts", "hot", "image-mismatch"]),
    (
        "card",
        &[
            "not-detected",
            "detection-setting",
            "failure",
            "puk-required",
            "pin-required",
            "pin-attempts-low",
            "lock",
            "no-profile",
            "identifier",
            "forbidden-list",
        ],
    ),
    (
        "radio",
        &["no-signal", "weak", "poor-quality", "antenna", "band-off", "band-missing", "technology"],
    ),
    (
        "registration",
        &[
            "idle",
            "searching",
            "denied",
            "subscriber",
            "equipment",
            "network",
            "area",
            "roaming",
            "authentication",
            "attach-bearer",
            "network-trouble",
            "no-suitable-cell",
            "core-network",
            "security",
            "forgotten",
            "protocol-error",
            "forbidden-scan",
            "manual",
            "voice-centric",
            "emergency",
            "detached",
        ],
    ),
    (
        "bearer",
        &[
            "apn-blank",
            "apn-mismatch",
            "apn-unknown",
            "pdn-type",
            "credentials",
            "not-subscribed",
            "wrong-context",
            "inactive",
            "network-refused",
        ],
    ),
    ("path", &["no-address", "no-traffic"]),
];

#[test]
fn every_finding_has_its_rule_and_no_rule_is_beside_them() {
    let mut wanted: Vec<String> =
        IDS.iter().flat_map(|(l, names)| names.iter().map(move |n| format!("{l}/{n}"))).collect();
    let mut listed: Vec<String> = page(&["rules"])
        .lines()
        .filter_map(|l| l.strip_prefix("  ")?.split_whitespace().next().map(str::to_owned))
        .collect();
    wanted.sort();
    listed.sort();
    assert_eq!(wanted, listed);
}

#[test]
fn a_team_adds_words_and_changes_no_finding() {
    let capture = "demo/captures/03-tarn-bridge-pin.txt";
    let plain = page(&["explain", capture]);
    let with = page(&["explain", "--team", "demo/team/team.toml", capture]);
    let (before, after) = with.split_once("\nFrom your team\n").unwrap();
    assert!(plain.starts_with(before), "{with}");
    assert!(after.contains("box B") && after.contains("AT+CPINR"), "{after}");
    let json = page(&["explain", "--team", "demo/team/team.toml", "--format", "json", capture]);
    let object: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(object["verdict"]["finding"], "card/pin-required");
    assert_eq!(object["team"][0]["kind"], "note");
    assert!(page(&["rules", "card/lock", "--team", "demo/team/team.toml"]).contains("box B"));
}

#[test]
fn a_wrong_team_file_is_one_sentence_with_its_line() {
    let file = std::env::temp_dir().join(format!("mastside-team-{}.toml", std::process::id()));
    fs::write(&file, "[rule.\"card/unknown\"]\nnote = \"x\"\n").unwrap();
    let output = mastside(&["rules", "card/lock", "--team", file.to_str().unwrap()]);
    fs::remove_file(&file).unwrap();
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("line 1") && said.lines().count() == 1, "{said}");
    assert!(output.stdout.is_empty());
}

#[test]
fn thresholds_are_taken_from_a_directory_of_ones_own() {
    let directory = std::env::temp_dir().join(format!("mastside-tables-{}", std::process::id()));
    fs::create_dir_all(&directory).unwrap();
    let own =
        include_str!("../band-tables/thresholds.csv").replace("rsrp,-118,-126", "rsrp,-90,-95");
    fs::write(directory.join("thresholds.csv"), own).unwrap();
    let text = directory.join("paste.txt");
    fs::write(&text, "AT+CEREG?\n+CEREG: 0,2\nOK\nAT+CESQ\n+CESQ: 99,99,255,255,20,40\nOK\n")
        .unwrap();
    let (tables, text) = (directory.to_str().unwrap(), text.to_str().unwrap());
    let shipped = page(&["explain", text]);
    let own = page(&["explain", "--tables", tables, text]);
    fs::remove_dir_all(&directory).unwrap();
    assert!(shipped.contains("registration/searching"), "{shipped}");
    assert!(own.contains("radio/weak, likely"), "{own}");
}

#[test]
#[cfg(target_os = "linux")]
fn the_users_own_team_file_is_found_where_the_platform_keeps_it() {
    let folder = tempfile::tempdir().unwrap();
    let own = folder.path().join("mastside");
    fs::create_dir(&own).unwrap();
    fs::copy(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/team/team.toml"),
        own.join("team.toml"),
    )
    .unwrap();
    let shown = |home: &Path| {
        let output = Command::new(env!("CARGO_BIN_EXE_mastside"))
            .args(["rules", "card/lock"])
            .env("XDG_CONFIG_HOME", home)
            .output()
            .unwrap();
        String::from_utf8(output.stdout).unwrap()
    };
    assert!(shown(folder.path()).contains("box B"));
    assert!(!shown(&own).contains("box B"), "and nowhere else");
}

/// Whether a change has a page of help.
fn amend_knows(word: &str) -> bool {
    mastside(&["amend", "help", word]).status.success()
}

#[test]
fn every_change_that_mends_a_cause_is_one_that_amend_knows() {
    let mending: Vec<_> =
        mastside::rules::all().filter_map(|r| Some((r.id, r.amendment?))).collect();
    assert_eq!(mending.len(), 13, "{mending:?}");
    for (id, change) in mending {
        let word = change.split(' ').next().unwrap();
        assert!(amend_knows(word), "{id}: {change}");
    }
    assert!(!amend_knows("nosuchword"), "a word alone may be a port");
}
