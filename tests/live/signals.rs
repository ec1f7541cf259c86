//! The program itself at a pseudo-terminal, ended between `AT+CFUN=4` and `AT+CFUN=1`: by Ctrl-C, a
//! kill that it may act on, a terminal that goes away, and one that it may not act on.
#![cfg(unix)]

use super::*;
use mastside::simulator::{Machine, Sent, serve};
use std::process::{Child, Command, Stdio};
use std::sync::atomic::Ordering;
use std::sync::{Arc, Mutex};
use std::time::Instant;

/// A modem that the test can look into while it is served.
#[derive(Clone)]
struct Shared(Arc<Mutex<Modem>>);

impl Machine for Shared {
    fn feed(&mut self, bytes: &[u8], now: Duration) -> Vec<Sent> {
        self.0.lock().unwrap().feed(bytes, now)
    }

    fn idle(&mut self, now: Duration) -> Vec<Sent> {
        self.0.lock().unwrap().idle(now)
    }
}

impl Shared {
    fn has_heard(&self, command: &str) -> bool {
        self.0.lock().unwrap().commands().iter().any(|c| c == command)
    }

    fn functionality(&self) -> u8 {
        self.0.lock().unwrap().settings().functionality
    }
}

/// A served modem whose `AT+CFUN=4` takes its time, and a folder for what the program writes.
struct Site {
    modem: Shared,
    port: String,
    folder: tempfile::TempDir,
    stop: Arc<AtomicBool>,
    serving: Option<std::thread::JoinHandle<()>>,
}

impl Site {
    fn new() -> Self {
        let mut slow = scenario("wrong-access-point");
        slow.modem.slow_ms.insert("AT+CFUN=4".into(), 1_500);
        let modem = Shared(Arc::new(Mutex::new(Modem::new(slow))));
        let stage = serve::Stage::open().unwrap();
        let port = stage.path().to_str().unwrap().to_owned();
        let stop = Arc::new(AtomicBool::new(false));
        let (mut machine, flag) = (modem.clone(), Arc::clone(&stop));
        let serving = std::thread::spawn(move || stage.serve(&mut machine, &flag).unwrap());
        let folder = tempfile::tempdir().unwrap();
        Self { modem, port, folder, stop, serving: Some(serving) }
    }

    fn run(&self, arguments: &[&str]) -> Child {
        Command::new(env!("CARGO_BIN_EXE_mastside"))
            .args(arguments)
            .arg(&self.port)
            .current_dir(self.folder.path())
            .env("XDG_DATA_HOME", self.folder.path())
            .env_remove("SSH_CONNECTION")
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    }
}

impl Drop for Site {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
        if let Some(serving) = self.serving.take() {
            let _ = serving.join();
        }
    }
}

fn wait_until(what: &str, most: Duration, mut is_so: impl FnMut() -> bool) {
    let begun = Instant::now();
    while !is_so() {
        assert!(begun.elapsed() < most, "{what} did not come");
        std::thread::sleep(Duration::from_millis(10));
    }
}

fn send(signal: &str, child: &Child) {
    let sent = Command::new("kill").args([signal, &child.id().to_string()]).status().unwrap();
    assert!(sent.success());
}

/// What each command is that makes a fresh attach.
const COMMANDS: [&[&str]; 3] = [
    &["examine", "--reattach"],
    &["amend", "access-point", "gauge.example", "--yes"],
    &["commission", "survey.jsonl", "--reattach"],
];
const MOST: Duration = Duration::from_mins(2);

#[test]
fn a_signal_while_the_radio_is_off_ends_the_run_with_the_radio_on() {
    std::thread::scope(|scope| {
        for arguments in COMMANDS {
            for signal in ["-INT", "-TERM", "-HUP"] {
                scope.spawn(move || {
                    let site = Site::new();
                    let mut child = site.run(arguments);
                    wait_until("AT+CFUN=4", MOST, || site.modem.has_heard("AT+CFUN=4"));
                    assert_eq!(site.modem.functionality(), 4);
                    send(signal, &child);
                    wait_until("the end", MOST, || child.try_wait().unwrap().is_some());
                    assert_eq!(site.modem.functionality(), 1, "{arguments:?} {signal}");
                    // By its own way out, not by the signal.
                    assert!(child.wait().unwrap().code().is_some(), "{arguments:?} {signal}");
                    let settings = site.modem.0.lock().unwrap().settings().clone();
                    assert!(settings.reports.is_empty() && settings.errors == 0, "{settings:?}");
                    let off = std::fs::read_dir(site.folder.path().join("mastside/radio-off"));
                    assert_eq!(off.unwrap().count(), 0, "{arguments:?} {signal}");
                });
            }
        }
    });
}

#[test]
fn a_kill_while_the_radio_is_off_makes_the_next_start_warn_with_the_command_that_mends_it() {
    let site = Site::new();
    let mut child = site.run(COMMANDS[0]);
    wait_until("AT+CFUN=4", MOST, || site.modem.has_heard("AT+CFUN=4"));
    send("-KILL", &child);
    child.wait().unwrap();
    std::thread::sleep(Duration::from_secs(2));
    assert_eq!(site.modem.functionality(), 4);
    let next = site.run(&["examine"]).wait_with_output().unwrap();
    let said = String::from_utf8_lossy(&next.stderr).into_owned();
    let mends = format!("mastside amend radio {}", site.port);
    assert!(said.contains("Warning") && said.contains(&mends), "{said}");
    let mended = site.run(&["amend", "radio", "--yes", "--wait", "1"]).wait_with_output().unwrap();
    assert_eq!(site.modem.functionality(), 1, "{}", String::from_utf8_lossy(&mended.stderr));
    let after = site.run(&["examine"]).wait_with_output().unwrap();
    assert!(!String::from_utf8_lossy(&after.stderr).contains("Warning"));
}

/// A pseudo-terminal as the program's own: what Ctrl-C does depends on it.
#[test]
fn whatever_ends_the_question_for_a_pin_leaves_the_terminal_with_its_echo() {
    use rustix::termios::{LocalModes, tcgetattr};
    let echoes = |terminal: &std::fs::File| {
        tcgetattr(terminal).unwrap().local_modes.contains(LocalModes::ECHO)
    };
    let script = Command::new("script").arg("--version").output();
    if !script.is_ok_and(|s| String::from_utf8_lossy(&s.stdout).contains("util-linux")) {
        println!(
            "skipped: no script(1) of util-linux, which gives a program a terminal of its own"
        );
        return;
    }
    for end in ["\x03", "-INT", "-TERM", "-HUP"] {
        let folder = tempfile::tempdir().unwrap();
        let told = folder.path().join("tty");
        // The shell stays behind the program, so that the terminal is there to be looked at.
        let program = env!("CARGO_BIN_EXE_mastside");
        let inner = format!(
            "trap : INT HUP TERM; tty >{told}.new; mv {told}.new {told}; sh -c 'echo $$ >{told}.pid; exec {program} amend pin /dev/no-such-port'; sleep 3",
            told = told.display()
        );
        let mut child = Command::new("script")
            .args(["-q", "-e", "-c", &inner, "/dev/null"])
            .stdin(Stdio::piped())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        wait_until("the terminal", MOST, || told.exists());
        let path = std::fs::read_to_string(&told).unwrap();
        let terminal = std::fs::File::open(path.trim()).unwrap();
        wait_until("the question", MOST, || !echoes(&terminal));
        if end == "\x03" {
            std::io::Write::write_all(child.stdin.as_mut().unwrap(), end.as_bytes()).unwrap();
        } else {
            let pid = std::fs::read_to_string(format!("{}.pid", told.display())).unwrap();
            assert!(Command::new("kill").args([end, pid.trim()]).status().unwrap().success());
        }
        wait_until("the echo", Duration::from_secs(3), || echoes(&terminal));
        child.wait().unwrap();
    }
}
