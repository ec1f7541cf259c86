//! A port that comes back: a modem that restarts takes its USB ports away and returns with others.

use super::{OpenError, Port, find, serial};
use std::io;
use std::time::{Duration, Instant};

/// What happens to a line that is followed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Followed {
    /// It is gone; its return is waited for.
    Lost,
    /// It is back, under this name.
    Back(String),
}

/// Finds the line again: its name and the opened port, or nothing yet.
type Reopen = Box<dyn FnMut() -> Option<(String, Box<dyn Port>)> + Send>;
/// Is told what happens.
type Tell = Box<dyn FnMut(Followed) + Send>;

/// A modem's start takes so long at most before its ports are back; common practice, no source.
const MOST: Duration = Duration::from_secs(40);
/// The return is looked for so often.
const EVERY: Duration = Duration::from_millis(250);

/// A line that is opened anew when it is lost. While it is away nothing is read, and what is
/// written goes nowhere, as with a modem that restarts.
pub(super) struct Follow {
    port: Option<Box<dyn Port>>,
    reopen: Reopen,
    tell: Tell,
    lost: Instant,
    looked: Instant,
    speed: Option<u32>,
}

impl Follow {
    pub(super) fn new(port: Box<dyn Port>, reopen: Reopen, tell: Tell) -> Self {
        let now = Instant::now();
        Self { port: Some(port), reopen, tell, lost: now, looked: now, speed: None }
    }

    fn lose(&mut self) {
        self.port = None;
        self.lost = Instant::now();
        self.looked = self.lost;
        (self.tell)(Followed::Lost);
    }

    /// Looks for the line once, at most every so often.
    fn look(&mut self) -> io::Result<()> {
        if self.looked.elapsed() < EVERY {
            return Ok(());
        }
        self.looked = Instant::now();
        if let Some((name, mut port)) = (self.reopen)() {
            if let Some(speed) = self.speed {
                port.set_speed(speed)?;
            }
            self.port = Some(port);
            (self.tell)(Followed::Back(name));
        } else if self.lost.elapsed() > MOST {
            return Err(io::Error::new(io::ErrorKind::BrokenPipe, "it did not come back"));
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

    fn set_speed(&mut self, baud: u32) -> io::Result<bool> {
        self.speed = Some(baud);
        self.port.as_mut().map_or(Ok(true), |port| port.set_speed(baud))
    }
}

/// Opens a serial port and follows it: when it is lost it is opened again by its path, or under the
/// name that the same USB device and interface has then.
///
/// # Errors
///
/// [`OpenError`], as `open`, for the first opening alone.
pub fn open_followed(
    path: &str,
    baud: u32,
    tell: impl FnMut(Followed) + Send + 'static,
) -> Result<Box<dyn Port>, OpenError> {
    let port = serial::Serial::open(path, baud)?;
    let identity = find::identity(path);
    let own = path.to_owned();
    let reopen = move || {
        let name = match &identity {
            Some(identity) => find::path_of(identity)?,
            None => own.clone(),
        };
        let port = serial::Serial::open(&name, baud).ok()?;
        Some((name, Box::new(port) as Box<dyn Port>))
    };
    Ok(Box::new(Follow::new(Box::new(port), Box::new(reopen), Box::new(tell))))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::{Arc, Mutex};

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
        let told = Arc::new(Mutex::new(Vec::new()));
        let noted = Arc::clone(&told);
        let mut absent = 2;
        let reopen = move || {
            absent -= 1;
            (absent == 0)
                .then(|| ("ttyUSB7".to_owned(), Box::new(Short(b"two".to_vec())) as Box<dyn Port>))
        };
        let mut port = Follow::new(
            Box::new(Short(b"one".to_vec())),
            Box::new(reopen),
            Box::new(move |event| noted.lock().unwrap().push(event)),
        );
        let mut heard = Vec::new();
        let mut buffer = [0; 8];
        let begun = Instant::now();
        while heard.len() < 6 && begun.elapsed() < Duration::from_secs(10) {
            let n = port.read(&mut buffer, Duration::from_millis(50)).unwrap();
            heard.extend_from_slice(&buffer[..n]);
            port.write(b"AT\r").unwrap();
        }
        assert_eq!(heard, b"onetwo");
        assert_eq!(*told.lock().unwrap(), [Followed::Lost, Followed::Back("ttyUSB7".into())]);
    }
}
