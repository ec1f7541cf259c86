//! A line to a modem as the client sees it, and why one cannot be opened.

use std::io;
use std::time::{Duration, Instant};

/// A line to a modem.
pub trait Port: Send {
    /// Reads what is there, waiting at most `wait`; 0 bytes where nothing came.
    ///
    /// # Errors
    ///
    /// What the system says; the line is gone then.
    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize>;

    /// Writes all bytes.
    ///
    /// # Errors
    ///
    /// What the system says, or `TimedOut` where the line takes no more.
    fn write(&mut self, bytes: &[u8]) -> io::Result<()>;

    /// Sets the speed of the line; `false` where it has none that could be set.
    ///
    /// # Errors
    ///
    /// What the system says; the speed is as it was then.
    fn set_speed(&mut self, baud: u32) -> io::Result<bool> {
        let _ = baud;
        Ok(false)
    }

    /// Whether the line is away at the moment, and its return is looked for with every read.
    fn is_away(&self) -> bool {
        false
    }

    /// How often the line was away and came back.
    fn returns(&self) -> u32 {
        0
    }

    /// The time, by the clock of the line; a simulated line has its own.
    fn now(&self) -> Instant {
        Instant::now()
    }
}

/// Why a port cannot be opened.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// There is no such port.
    #[error("{0}: there is no such port")]
    Missing(String),
    /// Another program holds it.
    #[error("{0}: another program uses the port{1}")]
    Busy(String, String),
    /// No permission.
    #[error(
        "{0}: no permission; join the group that owns the port (often dialout), log in again and retry"
    )]
    Denied(String),
    /// A file or folder.
    #[error("{0}: this is a file, not a port; `mastside explain` reads a saved text")]
    File(String),
    /// A device of another kind.
    #[error("{0}: this is no serial port; `mastside ports` lists what may be one")]
    NotSerial(String),
    /// Something else.
    #[error("{0}: {1}")]
    Other(String, String),
}
