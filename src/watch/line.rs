//! The port as a watch sees it: when it was away is noted, whoever reads.

use crate::port::Port;
use std::io;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// When the port went (`true`) and came.
pub(super) type Absences = Arc<Mutex<Vec<(bool, Instant)>>>;

/// A port whose absences are noted.
pub(super) struct Noting {
    port: Box<dyn Port>,
    away: bool,
    returns: u32,
    absences: Absences,
}

impl Noting {
    pub(super) fn new(port: Box<dyn Port>) -> (Self, Absences) {
        let absences = Absences::default();
        let returns = port.returns();
        (Self { port, away: false, returns, absences: Arc::clone(&absences) }, absences)
    }

    fn look(&mut self) {
        let (away, returns) = (self.port.is_away(), self.port.returns());
        let now = self.port.now();
        let mut noted = self.absences.lock().unwrap_or_else(PoisonError::into_inner);
        // An absence between two looks is seen from the count alone.
        if (away || returns != self.returns) && !self.away {
            noted.push((true, now));
        }
        if !away && (self.away || returns != self.returns) {
            noted.push((false, now));
        }
        (self.away, self.returns) = (away, returns);
    }
}

impl Port for Noting {
    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        let read = self.port.read(buffer, wait);
        self.look();
        read
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        let written = self.port.write(bytes);
        self.look();
        written
    }

    fn set_speed(&mut self, baud: u32) -> io::Result<bool> {
        self.port.set_speed(baud)
    }

    fn is_away(&self) -> bool {
        self.port.is_away()
    }

    fn returns(&self) -> u32 {
        self.port.returns()
    }

    fn now(&self) -> Instant {
        self.port.now()
    }
}
