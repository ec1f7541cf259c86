//! Files of the first forms that users keep: profiles, a team's notes, tables, scenarios, recordings, undo files,
//! surveys, the CSV, criteria, a record, a simulated place, a ticket.
//!
//! Each was written by the first program of its form and stays as it is; what reads them may grow.

use mastside::carrier::ProfileStore;
use mastside::commission::{Criteria, Measure, Outcome, Record};
use mastside::explanation::{Basis, Explanation, View};
use mastside::live::Undo;
use mastside::rules::{Acts, Team};
use mastside::simulator::Scenario;
use mastside::survey::analysis::EventKind;
use mastside::survey::simulate::Place;
use mastside::survey::visits::latest;
use mastside::ticket::{Ticket, again};
use mastside::watch::report;
use std::path::{Path, PathBuf};
use std::process::Command;

fn held(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/held").join(name)
}

fn text(name: &str) -> String {
    std::fs::read_to_string(held(name)).unwrap()
}

#[test]
fn a_survey_of_the_first_form_is_read_whole() {
    let analysis = latest(&held("survey.jsonl")).unwrap().analysis;
    assert_eq!((analysis.samples, analysis.damaged), (60, 0));
    assert_eq!(analysis.head.title, "Ford, first visit");
    assert!(analysis.head.rehearsal);
    let names: Vec<_> = analysis.spots.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["ford, left bank", "ford, right bank"]);
    assert_eq!(analysis.spots[0].cells[0].cell.plmn, "00101");
}

#[test]
fn a_survey_of_a_live_modem_keeps_its_receive_branches_neighbours_and_marks() {
    let analysis = latest(&held("survey-live.jsonl")).unwrap().analysis;
    assert_eq!((analysis.samples, analysis.damaged), (2, 0));
    assert_eq!(analysis.head.modem, "model M7, firmware 2.4");
    let spot = &analysis.spots[0];
    assert_eq!((spot.unregistered, spot.heard.len()), (1, 2));
    let kinds: Vec<_> = analysis.events.iter().map(|e| e.kind).collect();
    assert_eq!(kinds, [EventKind::NoAnswer, EventKind::Note, EventKind::Lost]);
}

#[test]
fn the_columns_of_the_first_csv_keep_their_names_and_order() {
    let old = text("survey.csv");
    let header = old.lines().next().unwrap();
    let now = mastside::survey::output::csv(&[latest(&held("survey.jsonl")).unwrap()]);
    let now = now.lines().next().unwrap();
    assert!(now.starts_with(header), "{now}");
}

#[test]
fn criteria_and_a_record_of_the_first_form_are_read() {
    let criteria = Criteria::parse(&text("criteria.toml")).unwrap();
    assert_eq!(criteria.level.len(), 2);
    assert_eq!(criteria.level[1].of, Measure::Sinr);
    assert_eq!(criteria.restart_seconds, Some(120.0));
    let record: Record = serde_json::from_str(&text("record.json")).unwrap();
    assert_eq!(record.outcome, Outcome::Incomplete);
    assert_eq!(record.criteria, criteria);
    assert_eq!(record.results[1].figure.unwrap().value, 15.75);
}

#[test]
fn a_simulated_place_of_the_first_form_is_read() {
    let place = Place::parse(&text("place.toml")).unwrap();
    assert_eq!((place.stop.len(), place.stop[1].wall_db), (2, 14.0));
}

#[test]
fn a_profile_of_the_first_form_is_read_whole() {
    let mut profiles = ProfileStore::default();
    profiles.add(Path::new("profile.toml"), text("profile.toml"));
    let (stored, errors) = profiles.all();
    assert!(errors.is_empty(), "{errors:?}");
    let carrier = &stored[0].carrier;
    assert_eq!(carrier.name, "Riverband");
    assert_eq!(carrier.access_points[0].name, "meters.riverband.example");
    assert_eq!(carrier.bands.lte, [3, 20]);
    assert_eq!(carrier.roaming.allowed, Some(false));
}

#[test]
fn a_teams_notes_of_the_first_form_are_read() {
    let team = Team::read(&text("team.toml"), Path::new("team.toml")).unwrap();
    assert_eq!(
        team.contact(Acts::AccountHolder),
        Some("River office, the person who orders cards")
    );
    // The note of the layer and the steps of the rule.
    assert_eq!(team.additions("card/pin-required").len(), 2);
}

#[test]
fn a_scenario_of_the_first_form_is_read() {
    let scenario = Scenario::parse(&text("scenario.toml")).unwrap();
    assert_eq!(scenario.finding, "bearer/apn-unknown");
    assert_eq!(scenario.network.access_point, "gauge.example");
}

#[test]
fn a_recording_of_the_first_form_gives_its_verdict() {
    let recording = text("recording.txt");
    let profiles = ProfileStore::default();
    let explained =
        Explanation::of(&recording, Vec::new(), &Basis::of(&profiles), View::default()).unwrap();
    assert_eq!(explained.verdict().id(), "bearer/apn-unknown");
}

#[test]
fn a_log_of_a_watch_of_the_first_form_is_read_whole() {
    let site = report::read_all(&[held("watch.jsonl")]).unwrap().remove(0);
    assert_eq!((site.name.as_str(), site.samples, site.damaged), ("Mill Race", 22, 0));
    assert_eq!(site.events.len(), 28, "every kind of event");
    let causes: Vec<_> = site.outages.iter().map(report::Outage::counts_as).collect();
    let found = "registration/network-trouble";
    assert_eq!(
        causes,
        [found, "session lost", "no traffic", "no answer from the modem", "port gone"]
    );
    assert!(site.outages.iter().all(|o| o.is_over));
    assert_eq!(latest(&held("watch.jsonl")).unwrap().analysis.samples, 22, "a survey, too");
}

#[test]
fn an_undo_file_of_the_first_form_says_what_it_sets() {
    let undo: Undo = toml::from_str(&text("undo.toml")).unwrap();
    assert!(undo.modem.is_none() && undo.attaches());
    assert_eq!(undo.targets().unwrap().len(), 1);
}

#[test]
fn a_ticket_of_the_first_form_is_read_whole() {
    let ticket = Ticket::open(&held("ticket")).unwrap();
    assert_eq!((ticket.name().as_str(), ticket.head.notes.len()), ("R-17", 1));
    assert_eq!(ticket.head.carrier.as_deref(), Some("Riverband"));
    let step = ticket.last_step().unwrap();
    assert_eq!((step.finding.as_str(), &step.errors[..]), ("registration/subscriber", &[951][..]));
    assert_eq!((step.answered.len(), step.missing.len(), step.settled.len()), (2, 1, 2));
    assert_eq!(ticket.closing.as_ref().unwrap().was.as_deref(), Some("registration/subscriber"));
    let seen = again(&ticket, &Basis::of(&ProfileStore::default()), step.judged).unwrap();
    assert_eq!(seen.len(), 2);
}

/// The first rows of every table of the first release: what an edited copy may look like today.
#[test]
fn tables_of_the_first_form_are_taken_in_place_of_the_built_in_ones() {
    let answers = [
        ("file 2FE2", "EF_ICCID (2FE2): card number"),
        ("cause emm 2", "EMM cause 2: IMSI unknown in HSS"),
        ("error cme 3", "+CME ERROR: 3 is \"operation not allowed\""),
        ("error cms 8", "+CMS ERROR: 8 is \"operator determined barring\""),
        ("command +CMEE", "+CMEE:"),
        ("plmn 20201", "network 202-01, Greece"),
        ("earfcn 300", "EARFCN 300: LTE band 1, 2140 MHz"),
        ("arfcn 422100", "NR-ARFCN 422100: 2110.5 MHz, in n1"),
        ("arfcn 10600", "UARFCN 10600: UMTS band I"),
        ("arfcn 260", "ARFCN 260: GSM 450"),
        ("index csq 20", "csq 20: -73 dBm"),
        ("rsrp -90", "rsrp -90 dBm: good"),
        ("timer T3402", "T3402 (EMM): 12 min"),
    ];
    let lookup = |words: &str| {
        let run = Command::new(env!("CARGO_BIN_EXE_mastside"))
            .args(["lookup", "--tables"])
            .arg(held("tables"))
            .args(words.split(' '))
            .output()
            .unwrap();
        let said = if run.stdout.is_empty() { run.stderr } else { run.stdout };
        (run.status.code(), String::from_utf8(said).unwrap())
    };
    for (words, begins) in answers {
        let (status, answer) = lookup(words);
        assert_eq!(status, Some(0), "{words}");
        assert!(answer.starts_with(begins), "{words}: {answer}");
    }
    // The copies have a few rows each: what they lack is not taken from the built-in tables.
    for (words, status, begins) in [
        ("earfcn 6300", 2, "mastside: no band of any system has a channel number 6300"),
        ("cause emm 15", 2, "mastside: no table has a cause 15"),
        ("plmn 50501", 1, "network 505-01, not assigned in the table"),
    ] {
        let (found, answer) = lookup(words);
        assert_eq!(found, Some(status), "{words}: {answer}");
        assert!(answer.starts_with(begins), "{words}: {answer}");
    }
}
