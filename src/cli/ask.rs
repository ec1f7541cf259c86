//! Questions to the user: yes or no, and a PIN or a password, which is not shown. Whatever ends a
//! question, the terminal is as it was.

use super::system;
use std::io::{self, BufRead, IsTerminal, Write};
use std::sync::atomic::Ordering;
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::Duration;

/// Asks for a PIN or a password at the terminal, or reads a line where there is none.
///
/// # Errors
///
/// What the system says; `Interrupted` where Ctrl-C or another request for an end came.
pub(super) fn secret(question: &'static str) -> io::Result<String> {
    if !io::stdin().is_terminal() {
        let mut text = String::new();
        io::stdin().lock().read_line(&mut text)?;
        return Ok(text.trim().to_owned());
    }
    answer(move || rpassword::prompt_password(question))
}

/// Asks a question that is answered with a line.
///
/// # Errors
///
/// As [`secret`].
pub(super) fn line(question: &str) -> io::Result<String> {
    eprint!("{question}");
    // The question is only for show.
    let _ = io::stderr().flush();
    answer(|| {
        let mut text = String::new();
        io::stdin().lock().read_line(&mut text).map(|_| text)
    })
}

/// Waits for an answer, or for a request for an end.
fn answer(read: impl FnOnce() -> io::Result<String> + Send + 'static) -> io::Result<String> {
    let stop = system::stop_flag();
    let terminal = Terminal::as_it_is();
    let (sender, receiver) = channel();
    // The line is read in a thread of its own: a signal does not end the reading of a terminal.
    std::thread::spawn(move || {
        // Nobody waits any more after Ctrl-C.
        let _ = sender.send(read());
    });
    loop {
        let came = receiver.recv_timeout(Duration::from_millis(50));
        if stop.load(Ordering::Relaxed) {
            terminal.put_back();
            return Err(io::Error::new(io::ErrorKind::Interrupted, "stopped; nothing was changed"));
        }
        match came {
            Ok(read) => return read.map(|text| text.trim().to_owned()),
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => {
                return Err(io::ErrorKind::UnexpectedEof.into());
            }
        }
    }
}

/// The settings of the terminal before the question.
#[cfg(unix)]
struct Terminal(Option<(std::fs::File, rustix::termios::Termios)>);

#[cfg(unix)]
impl Terminal {
    fn as_it_is() -> Self {
        let settings = |file: std::fs::File| {
            let settings = rustix::termios::tcgetattr(&file).ok()?;
            Some((file, settings))
        };
        Self(std::fs::File::open("/dev/tty").ok().and_then(settings))
    }

    fn put_back(&self) {
        if let Some((file, settings)) = &self.0 {
            // The terminal may be gone, which is a reason to end.
            let _ =
                rustix::termios::tcsetattr(file, rustix::termios::OptionalActions::Now, settings);
        }
    }
}

/// Elsewhere the console gives its settings back with the program.
#[cfg(not(unix))]
struct Terminal;

#[cfg(not(unix))]
impl Terminal {
    fn as_it_is() -> Self {
        Self
    }

    fn put_back(&self) {}
}
