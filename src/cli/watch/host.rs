//! The computer that a watch runs on: the port by its name, the clocks, the probe, standard output, the service manager.

use crate::cli::live::LineArguments;
use crate::cli::system::{self, WatchSignals};
use crate::port::{OpenError, Port};
use crate::sanitize::plain;
use crate::survey::sample::Sample;
use crate::watch::{Event, Host, Kind, Probe};
use chrono::{DateTime, Utc};
use std::io::Write;
use std::sync::atomic::Ordering;
use std::time::{Duration, Instant};

/// The service manager hears no more often than this.
const NOTIFY_EVERY: Duration = Duration::from_secs(5);

/// This computer.
pub(super) struct Computer<'c> {
    line: &'c LineArguments,
    signals: &'c WatchSignals,
    probe: Option<Probe>,
    show: bool,
    notified: Option<Instant>,
    /// Whether the trouble of the disk is told already.
    disk_told: bool,
}

impl<'c> Computer<'c> {
    pub(super) fn new(
        line: &'c LineArguments,
        signals: &'c WatchSignals,
        probe: Option<Probe>,
        show: bool,
    ) -> Self {
        Self { line, signals, probe, show, notified: None, disk_told: false }
    }
}

/// Writes a line to whoever watches. Nobody there is no reason to end a watch.
fn say(line: &str) {
    let mut out = std::io::stdout().lock();
    let _ = writeln!(out, "{}", plain(line)).and_then(|()| out.flush());
}

impl Host for Computer<'_> {
    fn open(&mut self) -> Result<Box<dyn Port>, OpenError> {
        self.line.open_again()
    }

    fn now(&self) -> Instant {
        Instant::now()
    }

    fn wall(&self) -> DateTime<Utc> {
        Utc::now()
    }

    fn wait(&mut self, span: Duration) {
        const TURN: Duration = Duration::from_millis(50);
        let until = Instant::now() + span;
        while !self.signals.stop.load(Ordering::Relaxed) {
            let left = until.saturating_duration_since(Instant::now());
            if left.is_zero() {
                return;
            }
            std::thread::sleep(left.min(TURN));
        }
    }

    fn probed(&mut self) -> Option<Result<(), String>> {
        self.probe.as_ref()?.latest()
    }

    fn is_rotation_wanted(&mut self) -> bool {
        self.signals.is_rotation_wanted()
    }

    fn alive(&mut self) {
        if self.notified.is_none_or(|then| then.elapsed() >= NOTIFY_EVERY) {
            self.notified = Some(Instant::now());
            system::notify_alive();
        }
    }

    fn event(&mut self, event: &Event) {
        self.disk_told = false;
        say(&event.to_string());
        if event.kind != Kind::Note {
            system::notify_status(event.kind.words());
        }
    }

    fn sample(&mut self, sample: &Sample) {
        self.disk_told = false;
        if self.show {
            let level =
                sample.levels.rsrp_dbm.map_or_else(String::new, |l| format!(", {l:.0} dBm"));
            let at = sample.at.format("%Y-%m-%d %H:%M:%SZ");
            say(&format!("{at}  reading {}{level}", sample.number));
        }
    }

    fn log_failed(&mut self, error: &std::io::Error) {
        if !std::mem::replace(&mut self.disk_told, true) {
            let words = format!("mastside: the log cannot be written, and is tried again: {error}");
            // Nobody there is no reason to end a watch.
            let _ = writeln!(std::io::stderr(), "{}", plain(&words));
        }
    }
}
