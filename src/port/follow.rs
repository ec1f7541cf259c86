//! A port that comes back: a modem that restarts takes its USB ports away and returns with others.

use super::find;
use super::line::{OpenError, Port};
use super::open::open;
use std::io;
use std::time::{Duration, Instant};

/// Opens the line again; nothing yet where it is not back.
type Reopen = Box<dyn FnMut() -> Option<Box<dyn Port>> + Send>;

/// The return is looked for so often.
const EVERY: Duration = Duration::from_millis(250);

/// A line that is opened anew when it is lost. While it is away nothing is read, and what is
/// written goes nowhere, as with a modem that restarts. How long that is waited for is decided by
/// whoever reads.
pub(super) struct Follow {
    port: Option<Box<dyn Port>>,
    reopen: Reopen,
    looked: Instant,
    speed: Option<u32>,
    returns: u32,
}

impl Follow {
    pub(super) fn new(port: Box<dyn Port>, reopen: Reopen) -> Self {
        Self { port: Some(port), reopen, looked: Instant::now(), speed: None, returns: 0 }
    }

    fn lose(&mut self) {
        self.port = None;
        self.looked = Instant::now();
    }

    /// Looks for the line once, at most every so often.
    fn look(&mut self) -> io::Result<()> {
        if self.looked.elapsed() < EVERY {
            return Ok(());
        }
        self.looked = Instant::now();
        if let Some(mut port) = (self.reopen)() {
            if let Some(speed) = self.speed {
                port.set_speed(speed)?;
            }
            self.port = Some(port);
            self.returns += 1;
        }
        Ok(())
    }
}

impl Port for Follow {
    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        let Some(port) = &mut self.port else {
            std::thread::sleep(wait.min(EVERY));
            self.look()?;
            return Ok(0);
        };
        if let Ok(n) = port.read(buffer, wait) {
            return Ok(n);
        }
        self.lose();
        Ok(0)
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        let Some(port) = &mut self.port else { return Ok(()) };
        match port.write(bytes) {
            // A full line is no lost one.
            Err(error) if error.kind() == io::ErrorKind::TimedOut => Err(error),
            Err(_) => {
                self.lose();
                Ok(())
            }
            Ok(()) => Ok(()),
        }
    }

    fn is_away(&self) -> bool {
        self.port.is_none()
    }

    fn returns(&self) -> u32 {
        self.returns
    }

    fn set_speed(&mut self, baud: u32) -> io::Result<bool> {
        self.speed = Some(baud);
        self.port.as_mut().map_or(Ok(true), |port| port.set_speed(baud))
    }
}

/// Opens a line, as `open` does, and follows it: when it is lost it is opened again, a USB port under
/// the name that the same device and interface has then.
///
/// # Errors
///
/// [`OpenError`], as `open`, for the first opening alone.
pub fn open_followed(name: &str, baud: u32, via: Option<&str>) -> Result<Box<dyn Port>, OpenError> {
    let port = open(name, baud, via)?;
    let is_serial = via.is_none() && !name.starts_with("tcp://");
    let identity = if is_serial { find::identity(name) } else { None };
    let (own, via) = (name.to_owned(), via.map(str::to_owned));
    let reopen = move || {
        let name = match &identity {
            Some(identity) => find::path_of(identity)?,
            None => own.clone(),
        };
        open(&name, baud, via.as_deref()).ok()
    };
    Ok(Box::new(Follow::new(port, Box::new(reopen))))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Gives its bytes, then breaks.
    struct Short(Vec<u8>);

    impl Port for Short {
        fn read(&mut self, buffer: &mut [u8], _: Duration) -> io::Result<usize> {
            if self.0.is_empty() {
                return Err(io::ErrorKind::BrokenPipe.into());
            }
            let n = self.0.len().min(buffer.len());
            buffer[..n].copy_from_slice(&self.0[..n]);
            self.0.drain(..n);
            Ok(n)
        }

        fn write(&mut self, _: &[u8]) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn a_line_that_returns_under_another_name_goes_on() {
        let mut absent = 2;
        let reopen = move || {
            absent -= 1;
            (absent == 0).then(|| Box::new(Short(b"two".to_vec())) as Box<dyn Port>)
        };
        let mut port = Follow::new(Box::new(Short(b"one".to_vec())), Box::new(reopen));
        let mut heard = Vec::new();
        let mut buffer = [0; 8];
        let mut away = 0;
        let begun = Instant::now();
        while heard.len() < 6 && begun.elapsed() < Duration::from_secs(10) {
            let n = port.read(&mut buffer, Duration::from_millis(50)).unwrap();
            heard.extend_from_slice(&buffer[..n]);
            away += usize::from(port.is_away());
            port.write(b"AT\r").unwrap();
        }
        assert_eq!(heard, b"onetwo");
        assert!(away > 0);
        assert_eq!(port.returns(), 1);
    }
}
