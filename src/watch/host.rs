//! What a watch needs of the computer that it runs on: the port, clocks, the probe, and whoever is told.

use super::event::Event;
use crate::port::{OpenError, Port};
use crate::survey::sample::Sample;
use chrono::{DateTime, Utc};
use std::time::{Duration, Instant};

/// The computer, or a simulated one with a clock of its own.
pub trait Host {
    /// Opens the port of the modem for this program alone.
    ///
    /// # Errors
    ///
    /// [`OpenError`] where it is away, held by another program, or no port.
    fn open(&mut self) -> Result<Box<dyn Port>, OpenError>;

    /// The clock that is never set, the same as that of the port.
    fn now(&self) -> Instant;

    /// The clock on the wall.
    fn wall(&self) -> DateTime<Utc>;

    /// Lets time pass; ends early where the watch is to stop.
    fn wait(&mut self, span: Duration);

    /// What became of a probe since the last call, where one came to an end: `Err` with the reason for no answer.
    fn probed(&mut self) -> Option<Result<(), String>> {
        None
    }

    /// Whether the log is to be put away now, as somebody asked.
    fn is_rotation_wanted(&mut self) -> bool {
        false
    }

    /// The watch is alive; called at least every few seconds but while the modem is waited for.
    fn alive(&mut self) {}

    /// An event is on the disk.
    fn event(&mut self, event: &Event);

    /// A sample is on the disk.
    fn sample(&mut self, _sample: &Sample) {}

    /// The disk took nothing.
    fn log_failed(&mut self, error: &std::io::Error);
}
