//! The figures of a watch as metrics show them: what is now, and how often what happened. No identities.

use super::event::{Event, Kind};
use super::trouble::Trouble;
use crate::survey::sample::{Levels, Sample};
use chrono::{DateTime, Utc};
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

/// What is known now.
#[derive(Clone, Debug, Default)]
pub struct Snapshot {
    /// Whether the modem is registered.
    pub registered: Option<bool>,
    /// The `<stat>` of the registration that carries data.
    pub stat: Option<u8>,
    /// The levels of the last reading.
    pub levels: Levels,
    /// When it was read.
    pub last_sample: Option<DateTime<Utc>>,
    /// When the modem was last seen registered.
    pub last_registered: Option<DateTime<Utc>>,
    /// Whether the port is open.
    pub port_open: bool,
    /// Whether the probed host answers; `None` where none is probed.
    pub traffic: Option<bool>,
    /// The trouble that lasts.
    pub trouble: Option<Trouble>,
    /// Readings on the disk.
    pub samples: u64,
    /// Restarts of the modem.
    pub restarts: u64,
    /// Readings that failed.
    pub read_errors: u64,
    /// Lines that the disk did not take.
    pub log_errors: u64,
    /// Outages by cause: the id of a finding, or what the trouble was where none was found.
    pub outages: BTreeMap<String, u64>,
    /// Events by kind.
    pub events: BTreeMap<Kind, u64>,
}

/// The figures, shared between the watch and whoever serves them.
#[derive(Debug, Default)]
pub struct Figures(Mutex<Snapshot>);

impl Figures {
    /// What is known now.
    pub fn snapshot(&self) -> Snapshot {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    pub(super) fn change(&self, change: impl FnOnce(&mut Snapshot)) {
        change(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner));
    }

    pub(super) fn event(&self, event: &Event) {
        self.change(|s| {
            *s.events.entry(event.kind).or_default() += 1;
            match event.kind {
                Kind::Restarted => s.restarts += 1,
                Kind::TrafficLost => s.traffic = Some(false),
                Kind::TrafficRegained => s.traffic = Some(true),
                _ => {}
            }
        });
    }

    pub(super) fn sample(&self, sample: &Sample) {
        self.change(|s| {
            s.samples += 1;
            s.levels = sample.levels;
            s.last_sample = Some(sample.at);
            if s.registered == Some(true) {
                s.last_registered = Some(sample.at);
            }
        });
    }

    pub(super) fn outage(&self, cause: &str) {
        self.change(|s| *s.outages.entry(cause.to_owned()).or_default() += 1);
    }
}
