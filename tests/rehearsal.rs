//! The read-only run against every scenario: nothing changed, nothing sent that may not be, the
//! scenario's finding, the same from the saved text; faults at every byte; amendments by cause and
//! effect.

use mastside::at::{Client, ResultCode, is_read};
use mastside::capture::Capture;
use mastside::carrier::ProfileStore;
use mastside::case::Case;
use mastside::explanation::{Basis, Explanation, View};
use mastside::live::{Change, Refusal, examine};
use mastside::port::{Port, Recorder};
use mastside::simulator::{Fault, Line, Modem, Replay, Scenario};
use std::path::PathBuf;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

fn scenarios() -> Vec<(String, Scenario)> {
    let folder = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/demo/scenarios"));
    let mut found: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .map(|p| {
            (p.file_stem().unwrap().to_string_lossy().into_owned(), Scenario::load(&p).unwrap())
        })
        .collect();
    found.sort_by(|a, b| a.0.cmp(&b.0));
    assert!(found.len() >= 14);
    found
}

/// Runs `examine` over a simulated line; gives the recording.
fn examined(modem: &mut Modem, piece: usize) -> (String, bool, Duration) {
    let stop = AtomicBool::new(false);
    let mut line = Line::new(modem, piece);
    let mut client = Client::new(&mut line, Recorder::new(), &stop);
    let run = examine(&mut client, &ProfileStore::shipped(), false, &mut ());
    let text = client.recorded().to_owned();
    let passed = line.passed();
    (text, run.ended.is_none() && run.not_restored.is_empty(), passed)
}

fn finding(text: &str) -> &'static str {
    let profiles = ProfileStore::shipped();
    Explanation::of(text, Vec::new(), &Basis::of(&profiles), View::default()).unwrap().verdict.id()
}

#[test]
fn every_scenario_gives_its_finding_and_stays_as_it_was() {
    let mut wrong = Vec::new();
    for (name, scenario) in scenarios() {
        for piece in [1, 7, 1000] {
            let mut modem = Modem::new(scenario.clone());
            let before = modem.settings().clone();
            let (text, whole, _) = examined(&mut modem, piece);
            if finding(&text) != scenario.finding {
                wrong.push(format!("{name}: {}, not {}\n{text}", finding(&text), scenario.finding));
            }
            assert!(whole, "{name}");
            assert_eq!(modem.settings(), &before, "{name}");
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn nothing_is_sent_that_is_not_a_read() {
    for (name, scenario) in scenarios() {
        let mut modem = Modem::new(scenario);
        let _ = examined(&mut modem, 1000);
        assert!(modem.commands().len() > 10, "{name}");
        for command in modem.commands() {
            assert!(is_read(command), "{name}: {command}");
        }
        let sent = String::from_utf8_lossy(modem.received()).into_owned();
        let told: Vec<_> = sent.split('\r').filter(|c| !c.is_empty()).collect();
        assert_eq!(told, modem.commands(), "{name}: every byte that came in belongs to a command");
    }
}

#[test]
fn a_saved_dialogue_played_back_gives_the_same_finding() {
    for (name, scenario) in scenarios() {
        let mut modem = Modem::new(scenario.clone());
        let (text, ..) = examined(&mut modem, 1000);
        let mut replay = Replay::of(&text);
        let stop = AtomicBool::new(false);
        let mut line = Line::new(&mut replay, 1000);
        let mut client = Client::new(&mut line, Recorder::new(), &stop);
        let _ = examine(&mut client, &ProfileStore::shipped(), false, &mut ());
        assert_eq!(finding(client.recorded()), scenario.finding, "{name}\n{}", client.recorded());
    }
}

/// Each fault at every byte of a whole dialogue: the run ends within its time, nothing that a
/// command was answered with belongs to another, and the recording is whole up to the fault.
#[test]
fn faults_at_every_byte_never_hang_and_never_mix_answers() {
    let scenario = scenarios().into_iter().find(|(n, _)| n == "healthy").unwrap().1;
    let mut modem = Modem::new(scenario.clone());
    let (clean, ..) = examined(&mut modem, 1000);
    // What the modem sends in a whole run, counted from the recording.
    let length: usize =
        clean.lines().filter_map(|l| l.split_once("] ")).map(|(_, rest)| rest.len() + 2).sum();
    let mut positions = 0;
    for kind in Fault::KINDS {
        for at in 0..length {
            let mut faulty = scenario.clone();
            faulty.fault = vec![Fault { kind: kind.into(), at }];
            let mut modem = Modem::new(faulty);
            let (text, _, passed) = examined(&mut modem, 64);
            positions += 1;
            assert!(passed < Duration::from_secs(400), "{kind} at {at}: {passed:?}");
            never_mixed(&text, kind, at);
        }
    }
    assert!(positions > 4000, "{positions}");
}

/// Between a command and the next, a header must be of that command, of a start, or unsolicited.
fn never_mixed(text: &str, kind: &str, at: usize) {
    let mut command = String::new();
    for line in text.lines() {
        if let Some((_, sent)) = line.split_once("] > ") {
            command = sent
                .trim_start_matches("AT")
                .trim_end_matches('?')
                .split('=')
                .next()
                .unwrap_or("")
                .to_owned();
        } else if let Some((_, came)) = line.split_once("] < ") {
            let Some((head, _)) = came.split_once(':') else { continue };
            let known = [
                "+CPIN", "+CFUN", "+CEREG", "+CGREG", "+CREG", "+CSQ", "+CESQ", "+COPS", "+CGATT",
                "+CGDCONT", "+CGACT", "+CGPADDR", "+CEER", "+CMEE",
            ];
            if known.contains(&head) && head != command {
                // A modem that starts anew says so by itself.
                assert!(
                    kind == "restart" && head == "+CPIN",
                    "{kind} at {at}: {came} behind {command}\n{text}"
                );
            }
        }
    }
}

fn change(scenario: &str, change: &Change) -> (Modem, Result<Vec<String>, Refusal>, String, bool) {
    let scenario = scenarios().into_iter().find(|(n, _)| n == scenario).unwrap().1;
    let mut modem = Modem::new(scenario);
    let stop = AtomicBool::new(false);
    let mut line = Line::new(&mut modem, 1000);
    let mut client = Client::new(&mut line, Recorder::new(), &stop);
    let result = change.plan(&mut client).and_then(|a| a.apply(&mut client).map(|()| a.undo));
    let attached = result.is_ok() && client.wait_for_address(Duration::from_secs(20)).unwrap();
    let text = client.recorded().to_owned();
    (modem, result, text, attached)
}

#[test]
fn the_right_name_attaches_and_the_undo_brings_the_wrong_one_back() {
    let right = Change::AccessPoint {
        context: 1,
        name: "gauge.example".into(),
        address: "IPV4V6".into(),
        login: None,
    };
    let (mut modem, undo, _, attached) = change("wrong-access-point", &right);
    assert!(attached);
    let stop = AtomicBool::new(false);
    let mut line = Line::new(&mut modem, 1000);
    let mut client = Client::new(&mut line, Recorder::new(), &stop);
    for command in undo.unwrap() {
        assert_eq!(client.ask(&command).unwrap().result, ResultCode::Ok);
    }
    assert!(!client.wait_for_address(Duration::from_secs(5)).unwrap());
    let wrong = Change::AccessPoint {
        context: 1,
        name: "gauge.exampel".into(),
        address: "IPV4V6".into(),
        login: None,
    };
    assert!(!change("wrong-access-point", &wrong).3);
}

#[test]
fn each_change_mends_its_scenario() {
    assert!(change("radio-off", &Change::Radio).3);
    assert!(change("chosen-by-hand", &Change::Network).3);
    assert!(change("deregistered", &Change::Network).3);
    assert!(change("forbidden-home", &Change::Forbidden).3);
    assert!(change("pin", &Change::Pin("0000".into())).3);
}

#[test]
fn what_is_so_already_is_not_written_again() {
    for (name, what) in [
        ("healthy", Change::Radio),
        ("healthy", Change::Network),
        ("healthy", Change::Forbidden),
        ("healthy", Change::Usage),
    ] {
        let (modem, result, ..) = change(name, &what);
        assert!(matches!(result, Err(Refusal::Already(_))), "{what:?}: {result:?}");
        assert!(modem.commands().iter().all(|c| is_read(c)), "{:?}", modem.commands());
    }
}

#[test]
fn the_last_pin_try_is_never_used_and_no_pin_is_written_down() {
    let (modem, result, ..) = change("last-pin-try", &Change::Pin("0000".into()));
    assert!(matches!(result, Err(Refusal::TriesLow(1))), "{result:?}");
    assert_eq!(modem.settings().tries, 1);
    let (_, _, text, _) = change("pin", &Change::Pin("1234".into()));
    assert!(!text.contains("1234") && text.contains("AT+CPIN=\"****\""), "{text}");
}

#[cfg(unix)]
mod lines {
    use super::*;
    use mastside::port::{self, Speaks, probe};
    use mastside::simulator::serve;
    use std::sync::Arc;
    use std::sync::atomic::Ordering;

    fn healthy() -> Modem {
        Modem::new(scenarios().into_iter().find(|(n, _)| n == "healthy").unwrap().1)
    }

    fn asks(name: &str, via: Option<&str>) -> &'static str {
        let stop = AtomicBool::new(false);
        let mut port = port::open(name, 115_200, via).unwrap();
        let mut client = Client::new(port.as_mut(), Recorder::new(), &stop);
        let run = examine(&mut client, &ProfileStore::shipped(), false, &mut ());
        assert!(run.ended.is_none(), "{:?}", run.ended);
        finding(client.recorded())
    }

    #[test]
    fn the_same_run_over_a_pseudo_terminal_tcp_and_a_childs_streams() {
        let stop = Arc::new(AtomicBool::new(false));
        let stage = serve::Stage::open().unwrap();
        let path = stage.path().to_str().unwrap().to_owned();
        let listener = serve::listen("127.0.0.1:0".parse().unwrap()).unwrap();
        let address = format!("tcp://{}", listener.local_addr().unwrap());
        let flags = (Arc::clone(&stop), Arc::clone(&stop));
        let terminal = std::thread::spawn(move || stage.serve(&mut healthy(), &flags.0));
        let network = std::thread::spawn(move || serve::tcp(&listener, &mut healthy(), &flags.1));
        assert_eq!(probe(&path, 115_200, Duration::from_secs(2)), Speaks::At);
        assert_eq!(asks(&path, None), "connected");
        assert_eq!(asks(&address, None), "connected");
        let through = format!(
            "exec 3<>/dev/tcp/{}; cat <&3 & cat >&3",
            address.trim_start_matches("tcp://").replace(':', "/")
        );
        if std::path::Path::new("/bin/bash").exists() {
            assert_eq!(asks("", Some(&format!("bash -c '{through}'"))), "connected");
        }
        stop.store(true, Ordering::Relaxed);
        terminal.join().unwrap().unwrap();
        network.join().unwrap().unwrap();
    }

    #[test]
    fn a_port_that_is_not_there_is_told_as_such() {
        let error = port::open("/dev/no-such-port", 9600, None).err().unwrap().to_string();
        assert!(error.contains("there is no such port"), "{error}");
    }
}

/// A serial line on which a modem is heard at one speed only; at any other both hear noise.
struct AtSpeed<'m> {
    line: Line<'m>,
    right: u32,
    now: u32,
}

impl Port for AtSpeed<'_> {
    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> std::io::Result<usize> {
        self.line.read(buffer, wait)
    }

    fn write(&mut self, bytes: &[u8]) -> std::io::Result<()> {
        if self.now == self.right {
            return self.line.write(bytes);
        }
        self.line.write(&vec![0xFE; bytes.len()])
    }

    fn set_speed(&mut self, baud: u32) -> std::io::Result<bool> {
        self.now = baud;
        Ok(true)
    }

    fn now(&self) -> std::time::Instant {
        self.line.now()
    }
}

#[test]
fn a_speed_is_found_where_none_was_named_and_kept_where_one_was() {
    let scenario = scenarios().into_iter().find(|(name, _)| name == "pin").unwrap().1;
    for (search, found) in [(true, true), (false, false)] {
        let mut modem = Modem::new(scenario.clone());
        let stop = AtomicBool::new(false);
        let mut port = AtSpeed { line: Line::new(&mut modem, 1000), right: 19_200, now: 115_200 };
        let mut client = Client::new(&mut port, Recorder::new(), &stop);
        let run = examine(&mut client, &ProfileStore::shipped(), search, &mut ());
        assert_eq!(run.answered, found);
        let text = client.recorded().to_owned();
        assert_eq!(finding(&text) == "card/pin-required", found, "{text}");
        assert_eq!(port.now, if search { 19_200 } else { 115_200 });
    }
}

#[test]
fn results_as_numbers_are_switched_to_words_and_back() {
    let scenario = scenarios().into_iter().find(|(n, _)| n == "numbered-results").unwrap().1;
    let mut modem = Modem::new(scenario);
    let (text, whole, _) = examined(&mut modem, 1);
    assert!(whole && text.contains("ATV1") && text.contains("ATV0"), "{text}");
    assert!(!modem.settings().verbose);
}

/// Makes a change over a simulated line and says how the settings stand after it and after its undo.
fn changed(modem: &mut Modem, change: &Change) -> (Vec<String>, mastside::simulator::Settings) {
    let stop = AtomicBool::new(false);
    let mut line = Line::new(modem, 1000);
    let mut client = Client::new(&mut line, Recorder::new(), &stop);
    assert!(client.wake(false).unwrap());
    let amendment = change.plan(&mut client).unwrap();
    amendment.apply(&mut client).unwrap();
    let recorded = client.recorded().to_owned();
    assert!(!recorded.contains("hunter"), "a password stands in the recording");
    (amendment.undo, modem.settings().clone())
}

fn put_back(modem: &mut Modem, undo: &[String]) {
    let stop = AtomicBool::new(false);
    let mut line = Line::new(modem, 1000);
    let mut client = Client::new(&mut line, Recorder::new(), &stop);
    for command in undo {
        assert!(client.ask(command).unwrap().is_ok(), "{command}");
    }
}

fn scenario(wanted: &str) -> Scenario {
    scenarios().into_iter().find(|(name, _)| name == wanted).unwrap().1
}

#[test]
fn a_band_switched_on_is_heard_and_the_undo_brings_the_silence_back() {
    let mut modem = Modem::new(scenario("band-off"));
    let before = modem.settings().clone();
    let (undo, after) = changed(&mut modem, &Change::Band(20));
    assert_eq!(after.stored["+QCFG=\"band\""], "0x93,0x80041,0x0");
    assert_eq!(finding(&examined(&mut modem, 1000).0), "connected");
    put_back(&mut modem, &undo);
    assert_eq!(modem.settings(), &before);
    assert_eq!(finding(&examined(&mut modem, 1000).0), "radio/band-off");
}

#[test]
fn technologies_are_freed_and_a_login_is_set_without_its_password_being_written_down() {
    let mut modem = Modem::new(scenario("wrong-technology"));
    let before = modem.settings().clone();
    let (undo, after) = changed(&mut modem, &Change::Technology);
    assert_eq!(after.stored["+CNMP"], "2");
    put_back(&mut modem, &undo);
    assert_eq!(modem.settings(), &before);
    let login =
        mastside::live::Login { protocol: 2, user: "gauge".into(), password: "hunter".into() };
    let change = Change::AccessPoint {
        context: 1,
        name: "gauge.example".into(),
        address: "IPV4V6".into(),
        login: Some(login),
    };
    let mut modem = Modem::new(scenario("healthy"));
    let before = modem.settings().clone();
    let (undo, after) = changed(&mut modem, &change);
    assert_eq!(after.logins[&1], (2, "gauge".into()));
    put_back(&mut modem, &undo);
    assert_eq!(modem.settings(), &before);
}

#[test]
fn a_level_that_moves_is_read_as_it_moves() {
    let text = "title = \"fading\"\nstory = \"invented\"\nfinding = \"connected\"\n\
                [network]\nrsrp_dbm_in_turn = [-90.0, -100.0]\n";
    let mut modem = Modem::new(Scenario::parse(text).unwrap());
    let stop = AtomicBool::new(false);
    let mut line = Line::new(&mut modem, 1000);
    let mut client = Client::new(&mut line, Recorder::new(), &stop);
    let mut levels = Vec::new();
    for _ in 0..3 {
        let answer = client.ask("AT+CESQ").unwrap();
        levels.push(answer.value("+CESQ").unwrap().rsplit(',').next().unwrap().to_owned());
    }
    assert_eq!(levels, ["51", "41", "51"]);
}

#[test]
fn a_fresh_attach_and_a_restart_are_watched_until_data_is_registered() {
    use mastside::commission::{Criteria, Outcome, judge};
    use mastside::live::{Fresh, begin_anew};
    use mastside::survey::analysis::Analysis;
    let mut modem = Modem::new(scenario("hand-over"));
    let before = modem.settings().clone();
    let stop = AtomicBool::new(false);
    let text = {
        let mut line = Line::new(&mut modem, 1000);
        let mut client = Client::new(&mut line, Recorder::new(), &stop);
        for fresh in [Fresh::Restart, Fresh::Attach] {
            assert!(begin_anew(&mut client, fresh, Duration::from_mins(1), &mut ()).unwrap());
        }
        client.recorded().to_owned()
    };
    assert_eq!(modem.settings(), &before, "the report mode was put back");
    assert_eq!(finding(&text), "connected", "{text}");
    assert!(text.contains("+CEREG: 3,2"), "searching was seen: {text}");
    let outcomes = |text: &str| -> Vec<Outcome> {
        let criteria = Criteria::parse("reattach_seconds = 50\nrestart_seconds = 50").unwrap();
        let case = Case::read(&Capture::new(text));
        judge(&criteria, &Analysis::default(), Some(&case)).iter().map(|m| m.outcome).collect()
    };
    assert_eq!(outcomes(&text), [Outcome::Passed, Outcome::Passed]);
    // Cut off before the end of the last search, the attach never came.
    let cut = &text[..text.rfind("+CEREG: 3,1").unwrap()];
    let cut = &cut[..cut.rfind("+CGREG").unwrap()];
    assert_eq!(outcomes(cut), [Outcome::Failed, Outcome::Passed], "{cut}");
}

#[test]
fn a_fresh_attach_that_is_stopped_leaves_the_radio_on_and_the_settings_as_they_were() {
    use mastside::live::{Fresh, Progress, begin_anew};
    struct StopsAt<'s>(&'static str, &'s AtomicBool);
    impl Progress for StopsAt<'_> {
        fn asking(&mut self, command: &str) {
            if command.starts_with(self.0) {
                self.1.store(true, std::sync::atomic::Ordering::Relaxed);
            }
        }
    }
    for at in ["AT+CEREG=3", "AT+CFUN=4", "AT+CEREG?", "AT+CEER"] {
        let mut modem = Modem::new(scenario("hand-over"));
        let before = modem.settings().clone();
        let stop = AtomicBool::new(false);
        let mut line = Line::new(&mut modem, 1000);
        let mut client = Client::new(&mut line, Recorder::new(), &stop);
        let mut progress = StopsAt(at, &stop);
        let ended = begin_anew(&mut client, Fresh::Attach, Duration::from_mins(1), &mut progress);
        assert_eq!(ended.unwrap_err().to_string(), "stopped", "{at}");
        assert_eq!(modem.settings(), &before, "{at}");
    }
}

#[test]
fn a_modem_that_does_not_come_back_is_given_up_in_time() {
    use mastside::live::{Fresh, begin_anew};
    let text = "title = \"gone\"\nstory = \"invented\"\nfinding = \"connected\"\n\
                [modem]\nsilent_after_restart = 9999\n";
    let mut modem = Modem::new(Scenario::parse(text).unwrap());
    let stop = AtomicBool::new(false);
    let mut line = Line::new(&mut modem, 1000);
    let mut client = Client::new(&mut line, Recorder::new(), &stop);
    let back = begin_anew(&mut client, Fresh::Restart, Duration::from_secs(30), &mut ()).unwrap();
    assert!(!back);
}

#[test]
fn the_table_of_the_scenarios_names_each_with_its_finding() {
    let readme = include_str!("../demo/scenarios/README.md");
    let rows: Vec<&str> = readme.lines().filter(|l| l.starts_with("| [")).collect();
    let wanted: Vec<String> = scenarios()
        .iter()
        .map(|(name, s)| format!("| [{name}]({name}.toml) | {} | {} |", s.title, s.finding))
        .collect();
    assert_eq!(rows, wanted);
}

#[test]
fn what_is_no_port_is_said_so() {
    let words = |name: &str| {
        mastside::port::open(name, 115_200, None).err().map(|e| e.to_string()).unwrap_or_default()
    };
    assert!(words(concat!(env!("CARGO_MANIFEST_DIR"), "/Cargo.toml")).contains("this is a file"));
    assert!(words(env!("CARGO_MANIFEST_DIR")).contains("this is a file"));
    if cfg!(unix) {
        assert!(words("/dev/null").contains("no serial port"));
    }
    assert!(words("/no/such/port").contains("there is no such port"));
}
