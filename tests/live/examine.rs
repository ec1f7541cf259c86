//! The read-only run against every scenario: nothing changed, nothing sent that may not be, the
//! scenario's finding, the same from the saved text.

use super::*;

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
        // A modem that starts hears nothing of what is sent meanwhile.
        let starts = scenario.modem.just_started
            || scenario.fault.iter().any(|f| f.kind == FaultKind::Restart);
        let mut modem = Modem::new(scenario);
        let _ = examined(&mut modem, 1000);
        assert!(modem.commands().len() > 10, "{name}");
        for command in modem.commands() {
            assert!(is_read(command), "{name}: {command}");
        }
        let sent = String::from_utf8_lossy(modem.received()).into_owned();
        let commands: Vec<_> = sent.split('\r').filter(|c| !c.is_empty()).collect();
        assert!(commands.iter().all(|command| is_read(command)), "{name}: {commands:?}");
        let same = commands == modem.commands();
        assert!(same || starts, "{name}: every byte that came in belongs to a command");
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
fn the_table_of_the_scenarios_names_each_with_its_finding() {
    let readme = include_str!("../../demo/scenarios/README.md");
    let rows: Vec<&str> = readme.lines().filter(|l| l.starts_with("| [")).collect();
    let wanted: Vec<String> = scenarios()
        .iter()
        .map(|(name, s)| format!("| [{name}]({name}.toml) | {} | {} |", s.title, s.finding))
        .collect();
    assert_eq!(rows, wanted);
}

/// By the line's own clock, which counts the waits of the program and none of its computing;
/// `benches/examine.rs` measures both together.
#[test]
fn an_examination_takes_hardly_longer_than_the_modem_itself() {
    const DELAY_MS: u64 = 60;
    let mut most: f64 = 0.0;
    for (name, mut scenario) in scenarios() {
        let m = &scenario.modem;
        let steady = !m.just_started && m.first_answer_ms == 0 && m.slow_ms.is_empty();
        if !steady || !scenario.fault.is_empty() {
            continue;
        }
        let numbers = !m.verbose;
        scenario.modem.delay_ms = DELAY_MS;
        let mut modem = Modem::new(scenario);
        let (_, whole, passed) = examined(&mut modem, 1000);
        // Switching results from numbers to words waits once for a quiet line.
        let quiet = if numbers { 300 } else { 0 };
        let own = Duration::from_millis(DELAY_MS * modem.commands().len() as u64 + quiet);
        let times = passed.as_secs_f64() / own.as_secs_f64();
        assert!(whole && times <= 1.10, "{name}: {times:.3} times the modem's own time");
        most = most.max(times);
    }
    println!("at most {most:.3} times the modem's own time");
}

/// What a rule asks for by switching a report stays switched nowhere.
#[test]
fn every_report_that_is_switched_is_put_back() {
    for (name, scenario) in scenarios() {
        let mut modem = Modem::new(scenario);
        examined(&mut modem, 1000);
        let sets: Vec<_> = modem.commands().iter().filter(|c| c.contains("REG=")).collect();
        assert!(sets.iter().all(|c| c.starts_with("AT+CEREG=")), "{name}: {sets:?}");
        assert!(sets.last().is_none_or(|c| *c == "AT+CEREG=0"), "{name}: {sets:?}");
    }
}
