//! Carrier profiles through the program: the schema in step, matching, what `explain` makes of them.

use std::process::Command;

fn mastside(arguments: &[&str]) -> (i32, String, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_mastside"))
        .args(arguments)
        .env("XDG_CONFIG_HOME", std::env::temp_dir().join("mastside-no-such-folder"))
        .output()
        .unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

#[test]
fn the_schema_beside_the_profiles_is_the_programs_own() {
    let (_, schema, _) = mastside(&["carrier", "schema"]);
    let beside = include_str!("../carrier-profiles/schema.json");
    assert_eq!(
        schema, beside,
        "write it anew: mastside carrier schema > carrier-profiles/schema.json"
    );
}

#[test]
fn a_new_profile_passes_the_check() {
    let folder = tempfile::tempdir().unwrap();
    let (_, text, _) = mastside(&["carrier", "new", "Hill & \"Dale\""]);
    std::fs::write(
        folder.path().join("new.toml"),
        text.replace("imsi = [\"00101\"]", "imsi = [\"9990\"]"),
    )
    .unwrap();
    let (status, out, error) =
        mastside(&["carrier", "check", "--profiles", folder.path().to_str().unwrap()]);
    assert_eq!((status, error.as_str()), (0, ""), "{out}");
}

#[test]
fn a_wrong_profile_is_pointed_at_and_the_rest_still_counts() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("bad.toml"), "name = \"x\"\nnetwork = [\"00101\"]\n")
        .unwrap();
    let (status, _, error) =
        mastside(&["carrier", "check", "--profiles", folder.path().to_str().unwrap()]);
    assert_eq!(status, 1);
    assert!(
        error.contains("bad.toml:2:1: there is no key `network`; perhaps `networks`"),
        "{error}"
    );
    let (status, out, _) = mastside(&[
        "carrier",
        "match",
        "--imsi",
        "999020000000001",
        "--profiles",
        folder.path().to_str().unwrap(),
    ]);
    assert_eq!(status, 0);
    assert!(out.starts_with("1. Lowland IoT"), "{out}");
}

#[test]
fn a_wrong_letter_is_told_with_the_carriers_own_name() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("c.txt");
    std::fs::write(&path, "AT+CIMI\n999010000000001\nOK\nAT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"fixed.uplend.example\",\"\",0,0\nOK\nAT+CEREG?\n+CEREG: 0,2\nOK\n").unwrap();
    let (status, out, _) = mastside(&["explain", path.to_str().unwrap()]);
    assert_eq!(status, 1);
    assert!(out.contains("bearer/apn-mismatch"), "{out}");
    assert!(out.contains("letter 10 is `e`, not `a`"), "{out}");
    assert!(out.contains("Held against the profile Upland Fixed"), "{out}");
}

fn explained(text: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("c.txt");
    std::fs::write(&path, text).unwrap();
    mastside(&["explain", path.to_str().unwrap()])
        .1
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn a_name_and_a_band_that_the_profile_does_not_know_are_reserves_of_a_healthy_modem() {
    let out = explained(
        "AT+CIMI\n999010000000001\nOK\nAT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"other.example\",\"\",0,0\nOK\nAT+CEREG?\n+CEREG: 0,1\nOK\nAT+CGPADDR\n+CGPADDR: 1,\"192.0.2.1\"\nOK\n+QNWINFO: \"FDD LTE\",\"99901\",\"LTE BAND 3\",1300\n",
    );
    assert!(out.starts_with("The modem is connected"), "{out}");
    assert!(
        out.contains("other.example, which the profile of Upland Fixed does not know"),
        "{out}"
    );
    assert!(out.contains("Band 3 is in use"), "{out}");
}

#[test]
fn a_refusal_recalls_the_carriers_limits_on_devices() {
    let out = explained("AT+CIMI\n999010000000001\nOK\nAT+CEREG?\n+CEREG: 0,3\nOK\n");
    assert!(out.contains("Upland Fixed serves only devices on its list"), "{out}");
}
