//! A simulated computer for watches: one modem on a line, and a time that passes as the line's does.

use chrono::{DateTime, TimeDelta, Utc};
use mastside::port::{OpenError, Port};
use mastside::simulator::{Line, Modem, Scenario};
use mastside::watch::{Event, Host};
use std::io;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

pub(crate) type Shared = Arc<Mutex<Line<'static>>>;

/// A port over the line of the simulated computer.
struct Handle(Shared);

impl Port for Handle {
    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        self.0.lock().unwrap().read(buffer, wait)
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.0.lock().unwrap().write(bytes)
    }

    fn is_away(&self) -> bool {
        self.0.lock().unwrap().is_away()
    }

    fn returns(&self) -> u32 {
        self.0.lock().unwrap().returns()
    }

    fn now(&self) -> Instant {
        self.0.lock().unwrap().now()
    }
}

/// A computer whose time passes as the line's does.
pub(crate) struct Simulated {
    pub(crate) line: Shared,
    begun: Instant,
    /// Seconds from the start in which another program holds the port.
    pub(crate) busy: std::ops::Range<u64>,
    /// When the clock is set, and by how much, s.
    pub(crate) step: Option<(u64, i64)>,
    /// Seconds in which the probed host does not answer.
    pub(crate) silent_host: std::ops::Range<u64>,
    pub(crate) told: Vec<Event>,
}

impl Simulated {
    pub(crate) fn of(scenario: &str) -> Self {
        let scenario = Scenario::parse(&format!(
            "title = \"t\"\nstory = \"s\"\nfinding = \"connected\"\n{scenario}"
        ))
        .unwrap();
        let modem: &'static mut Modem = Box::leak(Box::new(Modem::new(scenario)));
        let line = Line::new(modem, 64);
        let begun = line.now();
        Self {
            line: Arc::new(Mutex::new(line)),
            begun,
            busy: 0..0,
            step: None,
            silent_host: 0..0,
            told: Vec::new(),
        }
    }

    fn seconds(&self) -> u64 {
        self.now().duration_since(self.begun).as_secs()
    }
}

impl Host for Simulated {
    fn open(&mut self) -> Result<Box<dyn Port>, OpenError> {
        if self.busy.contains(&self.seconds()) {
            return Err(OpenError::Busy("port".into(), " (other, process 7)".into()));
        }
        Ok(Box::new(Handle(Arc::clone(&self.line))))
    }

    fn now(&self) -> Instant {
        self.line.lock().unwrap().now()
    }

    fn wall(&self) -> DateTime<Utc> {
        let passed = TimeDelta::from_std(self.now().duration_since(self.begun)).unwrap();
        let set = self.step.filter(|(when, _)| self.seconds() >= *when).map_or(0, |(_, by)| by);
        DateTime::from_timestamp(1_790_000_000, 0).unwrap() + passed + TimeDelta::seconds(set)
    }

    fn wait(&mut self, span: Duration) {
        let mut line = self.line.lock().unwrap();
        let until = line.now() + span;
        while line.now() < until {
            let left = until.duration_since(line.now());
            // What comes while nobody has the port open is lost.
            line.read(&mut [0; 64], left).expect("the simulated line stays");
        }
    }

    fn probed(&mut self) -> Option<Result<(), String>> {
        if self.silent_host.is_empty() {
            return None;
        }
        let silent = self.silent_host.contains(&self.seconds());
        Some(if silent { Err("no route".into()) } else { Ok(()) })
    }

    fn event(&mut self, event: &Event) {
        self.told.push(event.clone());
    }

    fn log_failed(&mut self, error: &io::Error) {
        panic!("{error}");
    }
}
