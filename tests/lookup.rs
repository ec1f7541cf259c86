//! Look-ups as people type them: every form that the help names, and what stands in the answer.

use std::process::Command;

fn lookup(arguments: &[&str]) -> (Option<i32>, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_mastside"))
        .arg("lookup")
        .args(arguments)
        .output()
        .expect("the program runs");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    (output.status.code(), text + &String::from_utf8_lossy(&output.stderr))
}

#[test]
fn every_form_that_the_help_names_has_its_answer() {
    let forms: &[(&str, &str)] = &[
        ("band 20", "LTE band 20"),
        ("band B20", "LTE band 20"),
        ("band n78", "5G NR band n78"),
        ("band UMTS8", "UMTS band VIII"),
        ("band GSM900", "E-GSM 900"),
        ("earfcn 6300", "806 MHz"),
        ("channel 6300", "806 MHz"),
        ("earfcn 6300 --bandwidth 0.2", "the width of NB-IoT"),
        ("arfcn 754", "PCS 1900"),
        ("frequency 806", "EARFCN 6300"),
        ("mask 0x80005", "bands 1, 3, 20"),
        ("mask 80005", "as decimal"),
        ("mask B1 B3 B20", "0x80005"),
        ("mask 1 3 20", "0x80005"),
        ("mask --decimal 524293", "bands 1, 3, 20"),
        ("cause emm 15", "EMM cause 15"),
        ("cause esm 27", "12 min"),
        ("cause 5gmm 3", "5GMM cause 3"),
        ("error cme 10", "SIM not inserted"),
        ("error cms 500", "+CMS ERROR: 500"),
        ("index csq 17", "-79 dBm"),
        ("index rsrp 48", "-93 dBm"),
        ("index ss-sinr 60", "dB"),
        ("level rsrp -98", "rsrp -98 dBm"),
        ("plmn 00101", "001-01"),
        ("plmn 001-01", "001-01"),
        ("plmn 00F110", "001-01"),
        ("country 262", "262"),
        ("file 6F07", "EF_IMSI"),
        ("command +CEREG", "+CEREG"),
        ("timer T3402", "12 min"),
        ("timer T3410", "255 s"),
        ("status EMM-DEREGISTERED", "registration detached"),
        ("status limited service", "limited service"),
        ("emm 15", "EMM cause 15"),
        ("csq 17", "-79 dBm"),
        ("rsrp -98", "rsrp -98 dBm"),
        ("PSM", "+CPSMS"),
        ("00F110", "three bytes"),
        ("8988000000000000016", "check digit right"),
    ];
    for (arguments, wanted) in forms {
        let (status, text) = lookup(&arguments.split(' ').collect::<Vec<_>>());
        assert!(status == Some(0) && text.contains(wanted), "{arguments}: {status:?}\n{text}");
    }
    let (status, text) = lookup(&["+CME ERROR: 13"]);
    assert!(status == Some(0) && text.contains("SIM failure"), "{text}");
}

#[test]
fn an_arfcn_has_an_answer_in_each_band_that_has_it() {
    // TS 45.005 §2: 512 to 810 are numbers of DCS 1800 and of PCS 1900.
    let (_, text) = lookup(&["--format", "json", "arfcn", "754"]);
    let answer: serde_json::Value = serde_json::from_str(&text).unwrap();
    let names: Vec<_> =
        answer["readings"].as_array().unwrap().iter().map(|r| r["name"].clone()).collect();
    assert_eq!(names, ["DCS 1800", "PCS 1900"]);
}

#[test]
fn the_ends_of_the_global_raster_are_numbers_of_it() {
    // TS 38.104 table 5.4.2.1-1.
    for (number, mhz) in [("599999", 2999.995), ("600000", 3000.0), ("3279165", 99_999.96)] {
        let (status, text) = lookup(&["--format", "json", "earfcn", number]);
        let answer: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!((status, &answer["mhz"]), (Some(0), &serde_json::json!(mhz)), "{number}");
    }
}

#[test]
fn what_is_unsound_or_unknown_has_a_status_of_its_own() {
    assert_eq!(lookup(&["cause", "esm", "46"]).0, Some(1), "a number that the list leaves out");
    assert_eq!(lookup(&["iccid", "8988000000000000017"]).0, Some(1), "a wrong check digit");
    assert_eq!(lookup(&["mask", "wxyz"]).0, Some(2));
    assert_eq!(lookup(&["no such thing"]).0, Some(2));
    assert_eq!(lookup(&[]).0, Some(2));
}

#[test]
fn the_form_of_an_answer_stands_once() {
    for words in [&["PSM"][..], &["command", "+CEREG"], &["command", "+CMEE"]] {
        let (_, text) = lookup(words);
        let titles: Vec<&str> = text.lines().filter(|l| l.starts_with('+')).collect();
        assert!(!titles.is_empty(), "{words:?}: {text}");
        for title in titles {
            assert_eq!(text.matches(title).count(), 1, "{words:?}: {text}");
            assert!(!title.split_once(": ").unwrap().1.starts_with('+'), "{words:?}: {text}");
        }
    }
}

#[test]
fn how_long_network_codes_are_has_its_source() {
    assert!(lookup(&["mcc", "001"]).1.contains("001 01 and 001 001"));
    assert!(lookup(&["mcc", "262"]).1.contains("two digits, as in every country"));
}
