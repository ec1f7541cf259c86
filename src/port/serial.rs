//! Serial ports.

use super::holders::holders;
use super::line::{OpenError, Port};
use serialport::{ErrorKind, SerialPort};
use std::io;
use std::time::{Duration, Instant};

/// A serial port, held for this program alone.
pub(super) struct Serial {
    port: Box<dyn SerialPort>,
}

/// So many bytes are written at once: a big write to a full line would block for ever.
const PIECE: usize = 64;
/// How long a line may take nothing before it counts as stuck.
const STUCK: Duration = Duration::from_secs(3);

impl Serial {
    /// Opens a port and takes it for this program alone.
    pub(super) fn open(path: &str, baud: u32) -> Result<Self, OpenError> {
        match serialport::new(path, baud).timeout(Duration::from_millis(50)).open() {
            Ok(port) => Ok(Self { port }),
            Err(error) => {
                let name = path.to_owned();
                let words = error.to_string();
                let busy =
                    words.to_lowercase().contains("busy") || words.contains("exclusive lock");
                Err(match error.kind() {
                    _ if busy => OpenError::Busy(name, holders(path)),
                    ErrorKind::Io(io::ErrorKind::NotFound) => OpenError::Missing(name),
                    ErrorKind::NoDevice if !std::path::Path::new(path).exists() => {
                        OpenError::Missing(name)
                    }
                    ErrorKind::Io(io::ErrorKind::PermissionDenied) => OpenError::Denied(name),
                    _ if std::path::Path::new(path).is_file()
                        || std::path::Path::new(path).is_dir() =>
                    {
                        OpenError::File(name)
                    }
                    // ENOTTY, in the words of either library.
                    _ if ["Not a typewriter", "Inappropriate ioctl"]
                        .iter()
                        .any(|w| words.starts_with(w)) =>
                    {
                        OpenError::NotSerial(name)
                    }
                    _ => OpenError::Other(name, words),
                })
            }
        }
    }
}

impl Port for Serial {
    fn set_speed(&mut self, baud: u32) -> io::Result<bool> {
        self.port.set_baud_rate(baud).map_err(io::Error::from)?;
        // What came in at the other speed is noise.
        self.port.clear(serialport::ClearBuffer::Input).map_err(io::Error::from)?;
        Ok(true)
    }

    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        let until = Instant::now() + wait;
        loop {
            let left = until.saturating_duration_since(Instant::now());
            self.port.set_timeout(left.max(Duration::from_millis(1))).map_err(io::Error::from)?;
            match self.port.read(buffer) {
                Ok(0) => return Err(io::ErrorKind::BrokenPipe.into()),
                Ok(n) => return Ok(n),
                Err(e) if e.kind() == io::ErrorKind::TimedOut => return Ok(0),
                // Any signal interrupts, a window that changes its size too.
                Err(e) if e.kind() == io::ErrorKind::Interrupted && !left.is_zero() => {}
                Err(e) if e.kind() == io::ErrorKind::Interrupted => return Ok(0),
                Err(e) => return Err(e),
            }
        }
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        let until = Instant::now() + STUCK;
        let mut left = bytes;
        while !left.is_empty() {
            if Instant::now() > until {
                return Err(io::ErrorKind::TimedOut.into());
            }
            match self.port.write(&left[..left.len().min(PIECE)]) {
                Ok(n) => left = &left[n..],
                Err(e)
                    if matches!(e.kind(), io::ErrorKind::Interrupted | io::ErrorKind::TimedOut) => {
                }
                Err(e) => return Err(e),
            }
        }
        Ok(())
    }
}
