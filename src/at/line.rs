//! The lines that come from the port, and waiting for a port that is away.

use super::client::{Client, ClientError, MOST_LINES, Notice};
use super::response::{is_start, result};
use super::time_out::{GONE_FOR_GOOD, LAST_TRY, QUIET};
use std::io;
use std::time::{Duration, Instant};

/// What the line gave.
pub(super) enum Heard {
    /// A line that is not blank.
    Line(String),
    /// Nothing within the time.
    Nothing,
    /// The port was away, and is back.
    Away,
}

/// Lines longer than this are noise.
const LONGEST: usize = 8192;

impl Client<'_> {
    /// Whether more bytes are under way.
    pub(super) fn more_comes(&mut self) -> Result<bool, ClientError> {
        let until = self.port.now() + QUIET;
        let mut bytes = [0; 1024];
        while self.buffer.iter().all(|b| matches!(b, b'\r' | b'\n')) {
            let left = until.saturating_duration_since(self.port.now());
            if left.is_zero() {
                return Ok(false);
            }
            let n = self.port.read(&mut bytes, left).map_err(|error| self.gone(error))?;
            self.buffer.extend_from_slice(&bytes[..n]);
        }
        Ok(true)
    }

    /// Notes what came by itself since the last command; a result among it tells of a modem that gives two.
    pub(super) fn take_unsolicited(&mut self) -> Result<(), ClientError> {
        for _ in 0..MOST_LINES {
            let quiet = if self.doubles { QUIET } else { Duration::ZERO };
            let Heard::Line(line) = self.line(self.port.now() + quiet)? else { break };
            self.doubles |= self.pending.is_empty() && result(&line).is_some();
            self.received(&line)?;
        }
        Ok(())
    }

    /// Notes what came without an end of its line, as a prompt does.
    pub(super) fn take_rest(&mut self) -> Result<(), ClientError> {
        let rest = String::from_utf8_lossy(&std::mem::take(&mut self.buffer)).trim().to_owned();
        if rest.is_empty() { Ok(()) } else { self.remark(&format!("without an end: {rest}")) }
    }

    /// Listens for what comes by itself, for `span`.
    ///
    /// # Errors
    ///
    /// As [`Client::ask`].
    pub fn listen(&mut self, span: Duration) -> Result<(), ClientError> {
        let until = self.port.now() + span;
        while self.port.now() < until {
            if let Heard::Line(line) = self.line(until)? {
                self.received(&line)?;
            }
        }
        Ok(())
    }

    /// Listens until something comes by itself, at most for `span`; says whether anything came.
    ///
    /// # Errors
    ///
    /// As [`Client::ask`].
    pub fn hear(&mut self, span: Duration) -> Result<bool, ClientError> {
        let until = self.port.now() + span;
        match self.line(until)? {
            Heard::Line(line) => self.received(&line).map(|()| true),
            Heard::Away => Ok(true),
            Heard::Nothing => Ok(false),
        }
    }

    /// The next line that is not blank, of those that are whole by `until`.
    pub(super) fn line(&mut self, until: Instant) -> Result<Heard, ClientError> {
        const TURN: Duration = Duration::from_millis(50);
        let mut bytes = [0; 1024];
        loop {
            // A line that something else never leaves quiet is none that answers.
            if self.port.now() > until + QUIET {
                return Ok(Heard::Nothing);
            }
            while let Some(at) = self.buffer.iter().position(|b| matches!(b, b'\r' | b'\n')) {
                let line: Vec<u8> = self.buffer.drain(..=at).collect();
                let text = String::from_utf8_lossy(&line[..at]).into_owned();
                if !text.trim().is_empty() {
                    self.restarted |= is_start(&text);
                    let numbered = matches!(text.trim(), "0" | "4");
                    self.counts.1 += u32::from(numbered || result(&text).is_some());
                    return Ok(Heard::Line(text));
                }
            }
            if self.buffer.len() > LONGEST {
                self.buffer.clear();
                self.remark("noise was left out")?;
            }
            if self.is_stopped() {
                if !self.guarded {
                    return Err(ClientError::Stopped);
                }
                if !std::mem::replace(&mut self.stop_told, true) {
                    self.notice(Notice::StopWaits);
                }
            }
            if self.port.is_away() || self.port.returns() != self.returns {
                self.wait_for_port()?;
                return Ok(Heard::Away);
            }
            let left = until.saturating_duration_since(self.port.now());
            let n = self.port.read(&mut bytes, left.min(TURN)).map_err(|error| self.gone(error))?;
            self.buffer.extend_from_slice(&bytes[..n]);
            let same = !self.port.is_away() && self.port.returns() == self.returns;
            if n == 0 && left.is_zero() && same {
                return Ok(Heard::Nothing);
            }
        }
    }

    /// Waits until a port that is away is back: a modem that restarts takes its USB ports away.
    fn wait_for_port(&mut self) -> Result<(), ClientError> {
        const TURN: Duration = Duration::from_millis(250);
        self.remark("the port is gone; its return is waited for")?;
        self.notice(Notice::PortGone);
        // A port that was waited for in vain once gets one short look more.
        let limit = if self.given_up { LAST_TRY } else { GONE_FOR_GOOD };
        let begin = self.port.now();
        while self.port.is_away() {
            if self.is_stopped() && !self.guarded {
                return Err(ClientError::Stopped);
            }
            if self.port.now().duration_since(begin) > limit {
                self.given_up = true;
                let kind = io::ErrorKind::BrokenPipe;
                return Err(self.gone(io::Error::new(kind, "it did not come back")));
            }
            // Nothing can be read; a port that is followed looks for its return meanwhile.
            self.port.read(&mut [0; 1], TURN).map_err(|error| self.gone(error))?;
        }
        let away = self.port.now().duration_since(begin).as_secs_f64();
        self.returns = self.port.returns();
        self.buffer.clear();
        self.settled();
        self.restarted = true;
        self.remark(&format!("the port is back after {away:.1} s"))?;
        self.notice(Notice::PortBack);
        Ok(())
    }
}
