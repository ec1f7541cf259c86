//! Faults at every byte of live dialogues, in the line's own time: an examination, each kind of
//! change, and its undo.
//!
//! By default one byte in every stride is taken, another one for each kind; with `EVERY_BYTE=1`
//! in the environment all are, and the counts are printed.

use super::*;
use mastside::at::GONE_FOR_GOOD;
use mastside::live::{CycleError, Force, Login};
use mastside::simulator::{Direction, Settings};

/// How long the fault lasts, by its place: late answers of 0.1 to 8 s, ports gone for 1 to 60 s.
fn lasting(kind: FaultKind, at: usize) -> u64 {
    let of = |list: &[u64]| list[at % list.len()];
    match kind {
        FaultKind::Late => of(&[100, 1_100, 2_600, 8_000]),
        FaultKind::Away | FaultKind::Swap => of(&[1_000, 8_000, 20_000, 60_000]),
        FaultKind::Restart => of(&[0, 500, 20_000]),
        _ => 0,
    }
}

/// Every fault of a dialogue of so many bytes sent and received by the modem.
fn every_fault(sent: usize, received: usize, stride: usize) -> Vec<Fault> {
    let stride = if std::env::var_os("EVERY_BYTE").is_some() { 1 } else { stride };
    let mut faults = Vec::new();
    for (n, kind) in FaultKind::ALL.into_iter().enumerate() {
        let places = |length: usize| (n % stride..length).step_by(stride);
        faults.extend(places(sent).map(|at| Fault::new(kind, at, lasting(kind, at))));
        if kind.befalls_received() {
            let of = Direction::Received;
            faults.extend(places(received).map(|at| Fault { kind, at, of, ms: 0 }));
        }
    }
    faults
}

/// What no restart takes away.
fn lasting_settings(settings: &Settings) -> Settings {
    let mut kept = settings.clone();
    kept.errors = 0;
    kept.reports.clear();
    kept.echo = true;
    kept.verbose = true;
    kept.attach_wanted = true;
    kept
}

/// No run hangs: what it waits for once, twice over, and its own commands.
const LIMIT: Duration = Duration::from_secs(3 * GONE_FOR_GOOD.as_secs() + 300);

#[test]
fn faults_at_every_byte_of_an_examination_never_hang_never_mix_and_never_call_a_lost_modem_connected()
 {
    let healthy = scenario("healthy");
    let mut modem = Modem::new(healthy.clone());
    examined(&mut modem, 1000);
    let faults = every_fault(modem.sent_bytes(), modem.received().len(), 40);
    for fault in &faults {
        let mut faulty = healthy.clone();
        faulty.fault = vec![fault.clone()];
        let mut modem = Modem::new(faulty);
        let before = lasting_settings(modem.settings());
        let (text, whole, passed) = examined(&mut modem, 64);
        assert!(passed < LIMIT, "{fault:?}: {passed:?}\n{text}");
        assert_eq!(lasting_settings(modem.settings()), before, "{fault:?}\n{text}");
        // Behind the last result a cut takes nothing away.
        if matches!(fault.kind, FaultKind::Cut) && !whole {
            assert_ne!(finding(&text), "connected", "{fault:?}\n{text}");
        }
        never_mixed(&text, fault);
    }
    println!("examine: {} faults", faults.len());
}

/// Between a command and the next, a header must be of that command, of a start, or unsolicited.
fn never_mixed(text: &str, fault: &Fault) {
    let mut command = "";
    for line in text.lines() {
        if let Some((_, sent)) = line.split_once("] > ") {
            let sent = sent.trim_start_matches("AT").trim_end_matches('?');
            command = sent.split('=').next().unwrap_or("");
        } else if let Some((_, came)) = line.split_once("] < ") {
            let Some((head, _)) = came.split_once(':') else { continue };
            let known = [
                "+CPIN", "+CFUN", "+CEREG", "+CGREG", "+CREG", "+CSQ", "+CESQ", "+COPS", "+CGATT",
                "+CGDCONT", "+CGACT", "+CGPADDR", "+CEER", "+CMEE",
            ];
            if known.contains(&head) && head != command {
                // A modem that restarts says so by itself.
                let restarts = matches!(fault.kind, FaultKind::Restart);
                assert!(restarts && head == "+CPIN", "{fault:?}: {came} behind {command}\n{text}");
            }
        }
    }
}

/// Every kind of change, with a scenario that it changes.
fn changes() -> Vec<(&'static str, Change)> {
    let login = Login { protocol: 2, user: "gauge".into(), password: "hunter42".into() };
    let with_login = Change::AccessPoint {
        context: 1,
        name: "other.example".into(),
        address: None,
        login: Some(login),
    };
    vec![
        ("wrong-access-point", access_point("gauge.example")),
        ("healthy", with_login),
        ("radio-off", Change::Radio),
        ("chosen-by-hand", Change::Network),
        ("deregistered", Change::Network),
        ("forbidden-home", Change::Forbidden),
        ("band-off", Change::Band(20)),
        ("wrong-technology", Change::Technology),
        ("voice", Change::Usage),
        ("pin", Change::Pin("0471".into())),
    ]
}

fn start(name: &str) -> Scenario {
    let mut scenario = match name {
        "voice" => {
            let mut healthy = super::scenario("healthy");
            healthy.modem.usage = 1;
            healthy
        }
        _ => super::scenario(name),
    };
    // Otherwise the network that was chosen cannot be read, and there is no undo.
    scenario.modem.shows_choice = true;
    scenario.card.pin = "0471".into();
    scenario
}

/// No piece of the password or the PIN stands in a recording.
fn no_secret(text: &str) {
    for line in text.lines().map(|l| l.split_once("] ").map_or(l, |(_, rest)| rest)) {
        assert!(!line.contains("hunt") && !line.contains("nter"), "{text}");
        assert!(!line.contains("047") && !line.contains("471"), "{text}");
    }
}

/// Another modem came onto the line: nothing of it was changed.
fn another_is_untouched(modem: &Modem, told: &str) {
    if let Some(then) = modem.of_another() {
        assert_eq!(lasting_settings(modem.settings()), lasting_settings(then), "{told}");
    }
}

/// The radio is on where it was on, or the user is told loudly.
fn radio_is_on_or_told(modem: &Modem, before: &Settings, error: Option<&Refusal>, told: &str) {
    let loud = matches!(
        error,
        Some(Refusal::Radio(
            CycleError::RadioOff(_) | CycleError::StaysOff(_) | CycleError::OtherModem
        ))
    );
    let off = before.functionality == 1 && modem.settings().functionality != 1;
    assert!(!off || loud, "the radio is off and nobody is told: {told}");
}

/// From whatever a change left, the undo file brings back what was there, or is refused.
fn undo_brings_back(
    modem: &mut Modem,
    before: &Settings,
    undo: &Undo,
    journal: &Journal,
    told: &str,
) {
    modem.calm();
    let stop = AtomicBool::new(false);
    let mut put_back = |force: Force| {
        with_client(modem, &stop, |client| {
            assert!(client.wake(false).unwrap(), "{told}");
            undo.put_back(client, journal, force)
        })
        .0
    };
    let mut back = put_back(Force::default());
    if matches!(back, Err(Refusal::MovedOn { .. })) {
        back = put_back(Force { moved_on: true, ..Force::default() });
    }
    if modem.of_another().is_some() {
        assert!(matches!(back, Err(Refusal::OtherModem(_))), "{told}: {back:?}");
        another_is_untouched(modem, told);
    } else {
        assert!(back.is_ok(), "{told}: {back:?}");
        assert_eq!(lasting_settings(modem.settings()), lasting_settings(before), "{told}");
    }
    journal.radio_is_on();
}

#[test]
fn faults_at_every_byte_of_every_change_never_leave_a_wrong_undo_nor_the_radio_off_nor_write_to_another()
 {
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    for (name, what) in changes() {
        let mut modem = Modem::new(start(name));
        let before = modem.settings().clone();
        with_client(&mut modem, &stop, |client| make(client, &what, &journal)).0.unwrap();
        let first = PLANNED.with(std::cell::RefCell::take);
        let after = modem.settings().clone();
        let faults = every_fault(modem.sent_bytes(), modem.received().len(), 24);
        for fault in &faults {
            let mut faulty = start(name);
            faulty.fault = vec![fault.clone()];
            let mut modem = Modem::new(faulty);
            UNDO.with(|kept| kept.replace(None));
            let (made, text, passed) =
                with_client(&mut modem, &stop, |client| make(client, &what, &journal));
            let told = format!("{name} {what:?} {fault:?}: {made:?}\n{text}");
            assert!(passed < LIMIT, "{passed:?} {told}");
            no_secret(&text);
            let undo = UNDO.with(std::cell::RefCell::take);
            let planned = PLANNED.with(std::cell::RefCell::take);
            if modem.of_another().is_some() && planned.is_some() && planned != first {
                // It came before anything was planned, and is the modem that was planned for.
                continue;
            }
            another_is_untouched(&modem, &told);
            radio_is_on_or_told(&modem, &before, made.as_ref().err(), &told);
            if made.is_ok() {
                let mut now = lasting_settings(modem.settings());
                let not_proved = NOT_PROVED.with(std::cell::RefCell::take);
                // What is said to be proved is as it was asked; a password never is.
                if !not_proved.is_empty() {
                    now.passwords = after.passwords.clone();
                }
                assert_eq!(now, lasting_settings(&after), "{not_proved:?} {told}");
                let password = matches!(what, Change::AccessPoint { login: Some(_), .. });
                assert_eq!(password, !not_proved.is_empty(), "{told}");
            }
            // A PIN is tried once, whatever becomes of it.
            assert!(modem.settings().tries >= 2, "{told}");
            if let Some(undo) = undo {
                undo_brings_back(&mut modem, &before, &undo, &journal, &told);
            }
        }
        println!("amend {name} {}: {} faults", word(&what), faults.len());
    }
}

#[test]
fn faults_at_every_byte_of_every_undo_never_put_back_anything_else() {
    let (_folder, journal) = journal();
    let stop = AtomicBool::new(false);
    for (name, what) in changes() {
        let mut changed = Modem::new(start(name));
        let before = changed.settings().clone();
        let undo = with_client(&mut changed, &stop, |client| make(client, &what, &journal));
        let Some(undo) = undo.0.unwrap() else { continue };
        changed.calm();
        let put_back = |modem: &mut Modem| {
            with_client(modem, &stop, |client| {
                client.wake(false).map_err(Refusal::Line)?;
                undo.put_back(client, &journal, Force::default())
            })
        };
        let (sent, received) = {
            let mut modem = changed.clone();
            let (sent, received) = (modem.sent_bytes(), modem.received().len());
            put_back(&mut modem).0.unwrap();
            (modem.sent_bytes() - sent, modem.received().len() - received)
        };
        let faults = every_fault(sent, received, 24);
        for fault in &faults {
            let mut modem = changed.clone();
            modem.disturb(fault.clone());
            let (back, text, passed) = put_back(&mut modem);
            let told = format!("{name} {what:?} {fault:?}: {back:?}\n{text}");
            assert!(passed < LIMIT, "{passed:?} {told}");
            another_is_untouched(&modem, &told);
            radio_is_on_or_told(&modem, &before, back.as_ref().err(), &told);
            if back.is_ok() {
                let mut now = lasting_settings(modem.settings());
                // A restart behind the last read of the level, when it is proved, switches a radio on.
                let behind = text.rsplit_once("> AT+CFUN?").map_or("", |(_, behind)| behind);
                let restarts = behind.contains("RDY") || behind.contains("restarted");
                if restarts || fault.at + 2 >= sent && fault.of == Direction::Sent {
                    now.functionality = before.functionality;
                }
                assert_eq!(now, lasting_settings(&before), "{told}");
            }
            undo_brings_back(&mut modem, &before, &undo, &journal, &told);
        }
        println!("undo {name} {}: {} faults", word(&what), faults.len());
    }
}

/// The kind of a change.
fn word(what: &Change) -> String {
    format!("{what:?}").split(|c: char| !c.is_alphanumeric()).next().unwrap_or("").to_owned()
}

/// A line that asks for an end when so many commands were written.
struct StopsAfter<'m> {
    line: Line<'m>,
    left: usize,
    stop: &'m AtomicBool,
}

impl Port for StopsAfter<'_> {
    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> std::io::Result<usize> {
        self.line.read(buffer, wait)
    }

    fn write(&mut self, bytes: &[u8]) -> std::io::Result<()> {
        if self.left == 0 {
            self.stop.store(true, std::sync::atomic::Ordering::Relaxed);
        }
        self.left = self.left.saturating_sub(1);
        self.line.write(bytes)
    }

    fn now(&self) -> std::time::Instant {
        self.line.now()
    }
}

#[test]
fn a_signal_at_every_command_leaves_the_radio_on_and_a_right_undo() {
    let (_folder, journal) = journal();
    let mut signals = 0;
    for (name, what) in changes() {
        for left in 0..60 {
            let mut modem = Modem::new(start(name));
            let before = modem.settings().clone();
            UNDO.with(|kept| kept.replace(None));
            let stop = AtomicBool::new(false);
            let (made, text) = {
                let mut port = StopsAfter { line: Line::new(&mut modem, 1000), left, stop: &stop };
                let mut client = Client::new(&mut port, Recorder::new(), &stop);
                let made = make(&mut client, &what, &journal);
                client.restore();
                (made, client.recorded().to_owned())
            };
            if !stop.load(std::sync::atomic::Ordering::Relaxed) {
                break;
            }
            signals += 1;
            let told = format!("{name} {what:?} stopped at command {left}: {made:?}\n{text}");
            radio_is_on_or_told(&modem, &before, made.as_ref().err(), &told);
            assert!(modem.settings().reports.is_empty() && modem.settings().errors == 0, "{told}");
            if let Some(undo) = UNDO.with(std::cell::RefCell::take) {
                undo_brings_back(&mut modem, &before, &undo, &journal, &told);
            }
        }
    }
    assert!(signals > 100, "{signals}");
    println!("{signals} signals");
}
