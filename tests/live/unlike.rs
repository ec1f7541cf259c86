//! Modems that behave unlike others: results switched off or given twice, a modem slower than any time-out, a line that
//! takes nothing or never ends, a restart when the radio goes on, contexts that are locked while attached.

use super::*;
use mastside::live::{CycleError, Force};

/// The scenario of a wrong access point, with a modem that is changed.
fn unlike(change: impl FnOnce(&mut Scenario)) -> Scenario {
    let mut scenario = scenario("wrong-access-point");
    change(&mut scenario);
    scenario
}

/// Makes the change that mends the scenario, and its undo.
fn there_and_back(scenario: Scenario) -> (Modem, Result<Option<Undo>, Refusal>, String) {
    let mut modem = Modem::new(scenario);
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    let (made, text, _) = with_client(&mut modem, &stop, |client| {
        make(client, &access_point("gauge.example"), &journal)
    });
    let Ok(Some(undo)) = &made else { return (modem, made, text) };
    let told = format!("{undo:?}\n{text}");
    modem.calm();
    assert_eq!(modem.settings().contexts[&1].1, "gauge.example", "{told}");
    let (back, text, _) = with_client(&mut modem, &stop, |client| {
        assert!(client.wake(false).unwrap());
        undo.put_back(client, &journal, Force::default())
    });
    back.unwrap();
    assert_eq!(modem.settings().contexts[&1].1, "gauge.exmaple", "{told}\n{text}");
    assert_eq!(modem.settings().functionality, 1, "{told}");
    assert!(journal.radios_off().is_empty());
    (modem, made, text)
}

#[test]
fn results_that_are_switched_off_are_switched_on_and_off_again() {
    for (verbose, echo) in [(true, true), (false, true)] {
        let mut quiet = scenario("healthy");
        (quiet.modem.quiet, quiet.modem.verbose, quiet.modem.echo) = (true, verbose, echo);
        let mut modem = Modem::new(quiet);
        let before = modem.settings().clone();
        let (text, whole, _) = examined(&mut modem, 1000);
        assert!(whole, "{text}");
        assert_eq!(finding(&text), "connected", "{text}");
        assert_eq!(modem.settings(), &before, "{text}");
    }
    // Without an echo it may have been asleep as well: the results stay on.
    let mut quiet = scenario("healthy");
    (quiet.modem.quiet, quiet.modem.echo) = (true, false);
    let mut modem = Modem::new(quiet);
    let (text, ..) = examined(&mut modem, 1000);
    assert_eq!(finding(&text), "connected", "{text}");
    assert!(!modem.settings().quiet && text.contains("ATQ1 switches its results off"), "{text}");
    // Behind a restart they are off again.
    let (modem, made, text) = there_and_back(unlike(|s| {
        (s.modem.quiet, s.modem.restarts_at_full, s.modem.restart_ms) = (true, true, 8_000);
    }));
    assert!(made.is_ok() && modem.settings().quiet, "{made:?}\n{text}");
}

#[test]
fn a_modem_that_is_only_late_never_has_its_results_switched_off() {
    for late in [0, 900, 1_100, 2_600, 4_000, 7_500] {
        let mut slow = scenario("healthy");
        slow.modem.first_answer_ms = late;
        let mut modem = Modem::new(slow);
        let (text, ..) = examined(&mut modem, 1000);
        assert!(!modem.settings().quiet && !text.contains("ATQ1"), "{late} ms\n{text}");
    }
    // One that starts loses the first commands.
    for ms in [500, 1_500, 2_500, 3_500] {
        let mut starts = scenario("healthy");
        (starts.modem.just_started, starts.modem.restart_ms) = (true, ms);
        let mut modem = Modem::new(starts);
        let (text, ..) = examined(&mut modem, 1000);
        assert!(!modem.settings().quiet && !text.contains("> ATQ1"), "{ms} ms\n{text}");
    }
}

#[test]
fn a_second_result_is_never_taken_for_the_next_commands() {
    for doubled in [1, 30, 80, 250] {
        let mut doubles = scenario("healthy");
        doubles.modem.doubled_ms = doubled;
        let mut modem = Modem::new(doubles);
        let (text, whole, _) = examined(&mut modem, 1000);
        assert!(whole && finding(&text) == "connected", "{doubled} ms\n{text}");
        let mut command = "";
        for line in text.lines() {
            match line.split_once("] > ") {
                Some((_, sent)) => command = sent,
                None if line.contains("GW-40") => assert_eq!(command, "ATI", "{text}"),
                None => {}
            }
        }
        let (_, made, text) = there_and_back(unlike(|s| s.modem.doubled_ms = doubled));
        assert!(made.is_ok(), "{doubled} ms {made:?}\n{text}");
    }
}

#[test]
fn a_modem_slower_than_any_time_out_is_given_its_time() {
    let mut slow = scenario("healthy");
    slow.modem.delay_ms = 5_500;
    let mut modem = Modem::new(slow);
    let (text, whole, _) = examined(&mut modem, 1000);
    assert!(whole && finding(&text) == "connected", "{text}");
    let (_, made, text) = there_and_back(unlike(|s| s.modem.delay_ms = 5_500));
    assert!(made.is_ok(), "{made:?}\n{text}");
}

#[test]
fn a_modem_that_restarts_when_its_radio_goes_on_is_waited_for() {
    let restarts = |keeps_level| {
        unlike(|s| {
            (s.modem.restarts_at_full, s.modem.restart_ms, s.modem.keeps_level) =
                (true, 8_000, keeps_level);
        })
    };
    let (_, made, text) = there_and_back(restarts(false));
    assert!(made.is_ok(), "{made:?}\n{text}");
    // One that comes up with its radio off each time is told of loudly, with what it reads.
    let mut stubborn = restarts(true);
    stubborn.modem.functionality = 4;
    let mut modem = Modem::new(stubborn);
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    let (made, ..) =
        with_client(&mut modem, &stop, |client| make(client, &Change::Radio, &journal));
    assert!(matches!(made, Err(Refusal::NotTaken { .. })), "{made:?}");
}

#[test]
fn a_context_that_is_locked_while_attached_is_written_while_the_radio_is_off() {
    let (modem, made, text) = there_and_back(unlike(|s| s.modem.locks_contexts = true));
    assert!(made.is_ok(), "{made:?}\n{text}");
    let of = |command: &str| modem.commands().iter().position(|c| c == command).unwrap();
    assert!(of("AT+CFUN=4") < of("AT+CFUN=1"));
    // Where it is refused all the same the reason is given, the radio is on, and nothing is said to be changed.
    let refusing = unlike(|s| {
        s.modem.refuse = [("AT+CGDCONT=1".to_owned(), "+CME ERROR: 3".to_owned())].into();
    });
    let mut modem = Modem::new(refusing);
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    let (made, text, _) = with_client(&mut modem, &stop, |client| {
        make(client, &access_point("gauge.example"), &journal)
    });
    let said = made.unwrap_err().to_string();
    assert!(said.contains("operation not allowed"), "{said}\n{text}");
    assert_eq!(modem.settings().functionality, 1);
}

#[test]
fn a_refusal_gives_its_reason_and_the_form_of_errors_is_as_it_was() {
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    let mut modem = Modem::new(scenario("pin"));
    let (made, text, _) =
        with_client(&mut modem, &stop, |c| make(c, &Change::Pin("1234".into()), &journal));
    let said = made.unwrap_err().to_string();
    assert!(said.contains("incorrect password") && said.contains("2 PIN tries"), "{said}\n{text}");
    assert_eq!(modem.settings().errors, 0);
}

#[test]
fn tries_are_read_with_the_vendors_command_where_the_standards_is_refused() {
    let mut own = scenario("pin");
    own.modem.refuse = [("AT+CPINR".to_owned(), "ERROR".to_owned())].into();
    own.modem.replies.insert("AT+QPINC?".into(), vec!["+QPINC: \"SC\",3,10".into()]);
    let mut modem = Modem::new(own);
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    let (made, text, _) =
        with_client(&mut modem, &stop, |c| make(c, &Change::Pin("0000".into()), &journal));
    assert!(made.is_ok(), "{made:?}\n{text}");
}

/// A line that takes no bytes for a while once a command was sent, as where flow control holds it.
struct Held<'m> {
    line: Line<'m>,
    behind: &'static str,
    until: Option<std::time::Instant>,
}

impl Port for Held<'_> {
    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> std::io::Result<usize> {
        self.line.read(buffer, wait)
    }

    fn write(&mut self, bytes: &[u8]) -> std::io::Result<()> {
        if self.until.is_some_and(|until| self.line.now() < until) {
            self.line.read(&mut [0; 64], Duration::from_secs(3))?;
            return Err(std::io::ErrorKind::TimedOut.into());
        }
        if bytes.starts_with(self.behind.as_bytes()) {
            self.until.get_or_insert(self.line.now() + Duration::from_secs(40));
        }
        self.line.write(bytes)
    }

    fn now(&self) -> std::time::Instant {
        self.line.now()
    }
}

#[test]
fn a_line_that_takes_nothing_while_the_radio_is_off_is_waited_for() {
    for behind in ["AT+CFUN=4", "AT+CGDCONT=", "AT+CMEE"] {
        let mut modem = Modem::new(scenario("wrong-access-point"));
        let (_folder, journal) = journal();
        let stop = AtomicBool::new(false);
        let mut port = Held { line: Line::new(&mut modem, 1000), behind, until: None };
        let mut client = Client::new(&mut port, Recorder::new(), &stop);
        let made = make(&mut client, &access_point("gauge.example"), &journal);
        client.restore();
        let text = client.recorded().to_owned();
        assert!(made.is_ok() && text.contains("takes no bytes"), "{behind} {made:?}\n{text}");
        assert_eq!(modem.settings().functionality, 1);
        assert_eq!(modem.settings().contexts[&1].1, "gauge.example");
    }
}

/// What is no modem: a prompt for a name, or lines without an end.
struct Other {
    begun: std::time::Instant,
    passed: Duration,
    coming: Vec<u8>,
    prompt: bool,
}

impl Port for Other {
    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> std::io::Result<usize> {
        if self.coming.is_empty() && self.prompt {
            self.passed += wait;
            return Ok(0);
        }
        if self.coming.is_empty() {
            self.coming = b"0007 idle 0x7f\r\n".to_vec();
        }
        self.passed += Duration::from_millis(1);
        let n = self.coming.len().min(buffer.len());
        buffer[..n].copy_from_slice(&self.coming[..n]);
        self.coming.drain(..n);
        Ok(n)
    }

    fn write(&mut self, _: &[u8]) -> std::io::Result<()> {
        if self.prompt {
            self.coming.extend(b"\r\ngauge login: ");
        }
        Ok(())
    }

    fn now(&self) -> std::time::Instant {
        self.begun + self.passed
    }
}

#[test]
fn what_is_no_modem_is_written_down_and_ends() {
    for prompt in [true, false] {
        let stop = AtomicBool::new(false);
        let begun = std::time::Instant::now();
        let mut port = Other { begun, passed: Duration::ZERO, coming: Vec::new(), prompt };
        let mut client = Client::new(&mut port, Recorder::new(), &stop);
        let run = examine(&mut client, &ProfileStore::shipped(), true, &mut ());
        let text = client.recorded().to_owned();
        assert!(!run.answered, "{text}");
        assert!(text.contains(if prompt { "gauge login:" } else { "0007 idle" }), "{text}");
        assert!(port.passed < Duration::from_mins(1), "{:?}", port.passed);
    }
}

#[test]
fn a_radio_that_stays_off_is_told_of_with_what_it_reads() {
    let mut stays = scenario("healthy");
    stays.modem.replies.insert("AT+CFUN=1".into(), Vec::new());
    let mut modem = Modem::new(stays);
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    let (made, ..) = with_client(&mut modem, &stop, |client| {
        make(client, &access_point("other.example"), &journal)
    });
    let Err(Refusal::Radio(CycleError::StaysOff(4))) = &made else { panic!("{made:?}") };
}
