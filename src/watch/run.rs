//! The watch itself: the port is opened, held, lost and opened again until the time is over or somebody stops it.

use super::entry::Entry;
use super::event::{Event, Kind, span};
use super::figures::Figures;
use super::host::Host;
use super::log::{Found, Log};
use super::session::Ended;
use super::state::{Moment, State};
use super::trouble::Trouble;
use crate::explanation::Basis;
use crate::port::OpenError;
use crate::random::Random;
use chrono::{DateTime, Utc};
use std::collections::VecDeque;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// A port that cannot be had is tried again after this, twice as long each time.
const FIRST_PAUSE: Duration = Duration::from_secs(1);
/// And no later than this.
const LONGEST_PAUSE: Duration = Duration::from_secs(30);
/// A step of the clock below this is left to its daily corrections.
const CLOCK_STEP_S: f64 = 2.0;

/// How to watch.
#[derive(Clone, Debug)]
pub struct Settings {
    /// The interval of the readings; each is up to a tenth earlier or later.
    pub every: Duration,
    /// How long; without an end where `None`.
    pub lasts: Option<Duration>,
    /// The level under which it counts as low, dBm.
    pub low_dbm: Option<f64>,
    /// Where the dialogues of examinations are kept.
    pub captures: PathBuf,
    /// Whether other speeds of the line are tried where nothing answers.
    pub search_speed: bool,
    /// The seed of the jitter.
    pub seed: u64,
}

/// What a watch came to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Summary {
    /// Outages that began.
    pub outages: u64,
    /// Samples on the disk.
    pub samples: u64,
    /// Whether an outage lasts.
    pub is_out: bool,
}

/// A watch of one modem.
pub struct Watch<'w> {
    pub(super) host: &'w mut dyn Host,
    pub(super) log: Log,
    pub(super) figures: &'w Figures,
    pub(super) settings: Settings,
    pub(super) basis: Basis<'w>,
    pub(super) stop: &'w AtomicBool,
    pub(super) state: State,
    pub(super) number: u64,
    pub(super) random: Random,
    /// What came in last, for the beginning of the next dialogue that is kept.
    pub(super) last_text: String,
    /// When the modem was last examined for outages, the latest last.
    pub(super) examined: VecDeque<Instant>,
    /// The outage that was counted.
    pub(super) counted: Option<Duration>,
    begun: Instant,
    clock: (Instant, DateTime<Utc>),
    found: Found,
    summary: Summary,
    busy: bool,
    had_port: bool,
}

impl<'w> Watch<'w> {
    /// A watch that writes into this log, of which `found` was there.
    pub fn new(
        host: &'w mut dyn Host,
        (log, found): (Log, Found),
        figures: &'w Figures,
        settings: Settings,
        basis: Basis<'w>,
        stop: &'w AtomicBool,
    ) -> Self {
        let (begun, wall) = (host.now(), host.wall());
        Self {
            state: State::new(settings.low_dbm),
            random: Random::seeded(settings.seed),
            host,
            log,
            figures,
            settings,
            basis,
            stop,
            number: found.number,
            last_text: String::new(),
            examined: VecDeque::new(),
            counted: None,
            begun,
            clock: (begun, wall),
            found,
            summary: Summary::default(),
            busy: false,
            had_port: false,
        }
    }

    /// Watches until the time is over or the stop is set.
    ///
    /// # Errors
    ///
    /// [`OpenError`] where the port cannot be used at all: no permission, or no port.
    pub fn run(mut self) -> Result<Summary, OpenError> {
        self.say_begin();
        let mut pause = FIRST_PAUSE;
        while !self.is_over() {
            match self.host.open() {
                Ok(port) => {
                    self.had_port = true;
                    if std::mem::take(&mut self.busy) {
                        self.publish(Kind::PortFree, "");
                    }
                    let moment = self.moment();
                    let back = self.state.end(Trouble::Port, moment);
                    self.publish_all(back);
                    self.figures.change(|f| f.port_open = true);
                    let (ended, answered) = self.session(port);
                    self.figures.change(|f| f.port_open = false);
                    self.session_ended(ended);
                    if answered {
                        pause = FIRST_PAUSE;
                    }
                }
                Err(error) => self.not_opened(error)?,
            }
            if !self.is_over() {
                self.wait(pause);
                pause = (pause * 2).min(LONGEST_PAUSE);
            }
        }
        let lasted = self.host.now().duration_since(self.begun).as_secs_f64();
        let words = format!("after {}, {} samples", span(lasted), self.summary.samples);
        self.publish(Kind::Stopped, &words);
        self.summary.is_out = self.state.out_since().is_some();
        Ok(self.summary)
    }

    fn say_begin(&mut self) {
        let now = self.host.wall();
        if self.found.torn_bytes > 0 {
            let words =
                format!("an unfinished last line of {} bytes was cut off", self.found.torn_bytes);
            self.publish(Kind::Note, &words);
        }
        let unwatched = self.found.last.map(|last| (now - last).as_seconds_f64());
        let text = format!("every {}", span(self.settings.every.as_secs_f64()));
        self.put(Event { seconds: unwatched, ..Event::new(now, Kind::Started, text) });
    }

    fn session_ended(&mut self, ended: Ended) {
        let moment = self.moment();
        let event = match ended {
            Ended::Over => None,
            Ended::Gone(why) => {
                self.figures.change(|f| f.read_errors += 1);
                self.state.begin(Trouble::Port, moment, &why)
            }
            Ended::Silent => {
                self.figures.change(|f| f.read_errors += 1);
                self.state.begin(Trouble::Silence, moment, "")
            }
        };
        self.publish_all(event);
        self.count_outage();
    }

    fn not_opened(&mut self, error: OpenError) -> Result<(), OpenError> {
        match error {
            OpenError::Busy(_, holders) => {
                if !std::mem::replace(&mut self.busy, true) {
                    self.publish(Kind::PortBusy, holders.trim());
                }
            }
            OpenError::Denied(_) | OpenError::File(_) | OpenError::NotSerial(_)
                if !self.had_port =>
            {
                return Err(error);
            }
            error => {
                let moment = self.moment();
                let event = self.state.begin(Trouble::Port, moment, &error.to_string());
                self.publish_all(event);
                self.count_outage();
            }
        }
        Ok(())
    }

    /// Counts an outage in which nothing can be asked, by what it is.
    fn count_outage(&mut self) {
        if let Some(trouble) = self.state.trouble() {
            self.count(trouble.begins().name());
        }
    }

    /// Counts the present outage once, under its cause.
    pub(super) fn count(&mut self, cause: &str) {
        if let Some(since) = self.state.out_since()
            && self.counted != Some(since)
        {
            self.counted = Some(since);
            self.summary.outages += 1;
            self.figures.outage(cause);
        }
    }

    /// Whether the time is over, or somebody stopped the watch.
    pub(super) fn is_over(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
            || self
                .settings
                .lasts
                .is_some_and(|lasts| self.host.now().duration_since(self.begun) >= lasts)
    }

    /// Lets time pass without a port; probes, rotation and the watchdog go on.
    fn wait(&mut self, span: Duration) {
        let until = self.host.now() + span;
        while !self.is_over() && self.host.now() < until {
            let left = until.duration_since(self.host.now());
            self.host.wait(left.min(Duration::from_secs(1)));
            self.between();
        }
    }

    /// What is due between any two steps: the watchdog, the probe, the clock, a rotation that was asked for.
    pub(super) fn between(&mut self) {
        self.host.alive();
        self.check_clock();
        if let Some(answer) = self.host.probed() {
            let moment = self.moment();
            self.figures.change(|f| f.traffic = Some(answer.is_ok()));
            let why = answer.as_ref().err().map_or("", String::as_str);
            let event = self.state.probed(answer.is_ok(), moment, why);
            self.publish_all(event);
        }
        if self.host.is_rotation_wanted() {
            let now = self.host.wall();
            if let Err(error) = self.log.rotate(now) {
                self.host.log_failed(&error);
            }
        }
    }

    fn check_clock(&mut self) {
        let (now, wall) = (self.host.now(), self.host.wall());
        let passed = now.duration_since(self.clock.0).as_secs_f64();
        let by_wall = (wall - self.clock.1).as_seconds_f64();
        let step = by_wall - passed;
        if step.abs() > CLOCK_STEP_S {
            let step = (step * 1000.0).round() / 1000.0;
            let text = "the clock was set, or the computer slept";
            self.put(Event { seconds: Some(step), ..Event::new(wall, Kind::ClockStep, text) });
        }
        self.clock = (now, wall);
    }

    /// This moment by both clocks.
    pub(super) fn moment(&self) -> Moment {
        let now = self.host.now();
        Moment { at: self.host.wall(), now: now.duration_since(self.begun) }
    }

    /// A moment of the port's clock by both.
    pub(super) fn moment_of(&self, then: Instant) -> Moment {
        let now = self.host.now();
        let ago = now.saturating_duration_since(then);
        let at = self.host.wall() - chrono::TimeDelta::from_std(ago).unwrap_or_default();
        Moment { at, now: then.saturating_duration_since(self.begun) }
    }

    /// Writes an event of this moment.
    pub(super) fn publish(&mut self, kind: Kind, text: &str) {
        let at = self.host.wall();
        self.put(Event::new(at, kind, text));
    }

    /// Writes events.
    pub(super) fn publish_all(&mut self, events: impl IntoIterator<Item = Event>) {
        for event in events {
            self.put(event);
        }
    }

    /// Writes an event; whoever is told hears of it once it is on the disk.
    pub(super) fn put(&mut self, event: Event) {
        self.figures.event(&event);
        if self.append(&Entry::Event(event.clone())) {
            self.host.event(&event);
        }
    }

    /// Writes an entry; `false` where the disk did not take it.
    pub(super) fn append(&mut self, entry: &Entry) -> bool {
        let now = self.host.wall();
        let written = self.log.append(entry, now);
        if let Err(error) = &written {
            self.figures.change(|f| f.log_errors += 1);
            self.host.log_failed(error);
        }
        if written.is_ok() && matches!(entry, Entry::Sample(_)) {
            self.summary.samples += 1;
        }
        written.is_ok()
    }
}
