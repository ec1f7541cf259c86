//! One command at a time: its whole response, and never a response to another command.
//!
//! A modem answers in order (V.250 §5.7). While a command is pending, nothing further is sent but
//! by [`Client::synchronise`], which finds out that no late response is under way.

use super::permit::is_read;
use super::response::{
    CommandResponse, ResultCode, expects_lines, is_damaged, is_of_another, is_start, prefix, result,
};
use super::secret::Secrets;
use super::time_out::{AFTER_START, GONE_FOR_GOOD, QUIET, time_out};
use super::volatile::Volatile;
use crate::port::{Port, Recorder};
use std::io;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Why no response can be had any more.
#[derive(Debug, thiserror::Error)]
pub enum ClientError {
    /// The line is gone.
    #[error("the line to the modem is gone: {0}")]
    Gone(io::Error),
    /// The recording could not be written.
    #[error("the recording could not be written: {0}")]
    Recording(io::Error),
    /// The modem answers nothing any more.
    #[error("the modem no longer answers")]
    Silent,
    /// The user stopped it.
    #[error("stopped")]
    Stopped,
}

/// What happens to the line, for whoever waits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Notice {
    /// The port is gone; its return is waited for.
    PortGone,
    /// The port is back.
    PortBack,
    /// The modem does not answer; it is waited for.
    Waiting,
    /// The modem restarted.
    Restarted,
}

/// A client of one modem.
pub struct Client<'p> {
    pub(super) port: &'p mut dyn Port,
    pub(super) recorder: Recorder,
    pub(super) buffer: Vec<u8>,
    /// Prefixes of commands whose result did not come yet.
    pub(super) pending: Vec<String>,
    /// Whether a response was ever late: one is looked at twice from then on.
    pub(super) late: bool,
    /// Whether results came as numbers when the modem was woken (`ATV0`, V.250 §6.2.6).
    pub(super) numeric: bool,
    pub(super) volatile: Vec<Volatile>,
    /// The command that found the modem in step, and its response, until the next command.
    pub(super) marker: Option<(String, CommandResponse)>,
    /// Whether a start was seen since the settings were made.
    pub(super) restarted: bool,
    pub(super) restarts: usize,
    /// Whether the modem was waited for in vain: the next time is short.
    pub(super) given_up: bool,
    pub(super) secrets: Secrets,
    answered: bool,
    stop: &'p AtomicBool,
    /// Whether a stop waits, because the modem must not be left as it is.
    guarded: bool,
    waited: Duration,
    returns: u32,
    notice: fn(Notice),
}

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

impl<'p> Client<'p> {
    /// A client over a port, which writes down everything; it ends early once `stop` is set.
    pub fn new(port: &'p mut dyn Port, recorder: Recorder, stop: &'p AtomicBool) -> Self {
        let returns = port.returns();
        Self {
            port,
            recorder,
            buffer: Vec::new(),
            pending: Vec::new(),
            late: false,
            numeric: false,
            volatile: Vec::new(),
            marker: None,
            restarted: false,
            restarts: 0,
            given_up: false,
            secrets: Secrets::default(),
            answered: false,
            stop,
            guarded: false,
            waited: Duration::ZERO,
            returns,
            notice: |_| {},
        }
    }

    /// Tells what happens to the line.
    #[must_use]
    pub fn telling(mut self, notice: fn(Notice)) -> Self {
        self.notice = notice;
        self
    }

    /// What was recorded so far.
    pub fn recorded(&self) -> &str {
        self.recorder.text()
    }

    /// What was recorded since the last call, which is kept no longer; a recording that goes to a
    /// file keeps it there. For runs without an end.
    pub fn take_recorded(&mut self) -> String {
        self.recorder.take_text()
    }

    /// The time, by the clock of the line.
    pub fn now(&self) -> Instant {
        self.port.now()
    }

    /// The time spent waiting for the modem.
    pub const fn waited(&self) -> Duration {
        self.waited
    }

    /// How often the modem restarted, or its port came back, since the dialogue began.
    pub const fn restarts(&self) -> usize {
        self.restarts
    }

    /// Whether the modem has answered anything in this dialogue.
    pub fn has_answered(&self) -> bool {
        self.answered
    }

    /// Whether the user has asked for an end.
    pub fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    /// Makes a stop wait, or lets it through again; gives what was set before.
    pub fn guard(&mut self, on: bool) -> bool {
        std::mem::replace(&mut self.guarded, on)
    }

    /// Writes a remark into the recording.
    ///
    /// # Errors
    ///
    /// [`ClientError::Recording`].
    pub fn remark(&mut self, words: &str) -> Result<(), ClientError> {
        let words = self.secrets.hide(words);
        self.recorder.remark(&words).map_err(ClientError::Recording)
    }

    pub(super) fn received(&mut self, line: &str) -> Result<(), ClientError> {
        self.answered = true;
        let line = self.secrets.hide(line);
        self.recorder.received(&line).map_err(ClientError::Recording)
    }

    pub(super) fn notice(&mut self, what: Notice) {
        (self.notice)(what);
    }

    /// Sends a command and waits for its whole response, as long as such a command may take. A read
    /// that a restart or a lost port interrupted is asked once more when the modem is back.
    ///
    /// # Errors
    ///
    /// [`ClientError`] where the line or the recording fails, or the user stopped it.
    pub fn ask(&mut self, command: &str) -> Result<CommandResponse, ClientError> {
        self.ask_within(command, command, time_out(command))
    }

    /// The same, with other words in the recording: a PIN never stands in it.
    ///
    /// # Errors
    ///
    /// As [`Client::ask`].
    pub fn ask_as(&mut self, command: &str, shown: &str) -> Result<CommandResponse, ClientError> {
        self.ask_within(command, shown, time_out(command))
    }

    /// The same, with a time-out of the caller's.
    ///
    /// # Errors
    ///
    /// As [`Client::ask`].
    pub fn ask_within(
        &mut self,
        command: &str,
        shown: &str,
        patience: Duration,
    ) -> Result<CommandResponse, ClientError> {
        let response = self.ask_once(command, shown, patience)?;
        let again = match response.result {
            ResultCode::Interrupted => self.synchronise()?,
            ResultCode::Silent if is_read(command) => self.synchronise()?,
            _ => false,
        };
        if again && is_read(command) {
            return self.ask_once(command, shown, patience);
        }
        Ok(response)
    }

    pub(super) fn ask_once(
        &mut self,
        command: &str,
        shown: &str,
        patience: Duration,
    ) -> Result<CommandResponse, ClientError> {
        self.take_unsolicited()?;
        if self.restarted || !self.pending.is_empty() {
            self.synchronise()?;
        }
        self.marker = None;
        self.secrets.sent(command, shown);
        self.send(command, shown)?;
        let begin = self.port.now();
        let response = self.response(command, begin + patience);
        self.waited += self.port.now().duration_since(begin);
        response
    }

    /// Sends one command; its response is pending from then on.
    pub(super) fn send(&mut self, command: &str, shown: &str) -> Result<(), ClientError> {
        self.recorder.sent(shown).map_err(ClientError::Recording)?;
        self.pending.push(prefix(command));
        self.port.write(format!("{command}\r").as_bytes()).map_err(ClientError::Gone)
    }

    /// No response is under way any more.
    pub(super) fn settled(&mut self) {
        self.pending.clear();
        self.secrets.settled();
    }

    fn response(
        &mut self,
        command: &str,
        mut until: Instant,
    ) -> Result<CommandResponse, ClientError> {
        let prefix = prefix(command);
        let mut lines: Vec<String> = Vec::new();
        let mut late = false;
        let mut started = false;
        loop {
            let line = match self.line(until)? {
                Heard::Line(line) => line,
                Heard::Nothing => break,
                Heard::Away => {
                    return Ok(CommandResponse { lines, result: ResultCode::Interrupted });
                }
            };
            // An echo is written down as what was sent already; what stood before it came unasked.
            if line.trim() == command.trim() {
                continue;
            }
            if is_start(&line) {
                self.received(&line)?;
                started = true;
                until = until.min(self.port.now() + AFTER_START);
                continue;
            }
            let end = result(&line).or_else(|| self.numbered(command, &line));
            if end.is_none() && is_of_another(&line, &prefix) || late {
                self.remark(&format!("late: {}", line.trim()))?;
                // The result behind it is the other command's.
                late = end.is_none();
                continue;
            }
            if is_damaged(&line, &prefix) {
                self.remark(&format!("damaged: {}", line.trim()))?;
                continue;
            }
            let bare = end == Some(ResultCode::Ok)
                && lines.is_empty()
                && self.late
                && expects_lines(command);
            if bare && self.more_comes()? {
                self.remark("late: OK")?;
                continue;
            }
            self.received(&line)?;
            match end {
                Some(result) => {
                    self.settled();
                    return Ok(CommandResponse { lines, result });
                }
                None => lines.push(line),
            }
        }
        self.late = true;
        let result = if started { ResultCode::Interrupted } else { ResultCode::Silent };
        self.remark("no answer within the time")?;
        Ok(CommandResponse { lines, result })
    }

    /// A result as a number, which is looked for where a modem is woken or its results are switched
    /// to words: elsewhere a lone digit may be data.
    pub(super) fn numbered(&mut self, command: &str, line: &str) -> Option<ResultCode> {
        if !["AT", "ATV0", "ATV1"].iter().any(|c| command.trim().eq_ignore_ascii_case(c)) {
            return None;
        }
        let end = match line.trim() {
            "0" => ResultCode::Ok,
            "4" => ResultCode::Error("4".into()),
            _ => return None,
        };
        self.numeric = true;
        Some(end)
    }

    /// Whether more bytes are under way.
    fn more_comes(&mut self) -> Result<bool, ClientError> {
        let until = self.port.now() + QUIET;
        let mut bytes = [0; 1024];
        while self.buffer.iter().all(|b| matches!(b, b'\r' | b'\n')) {
            let left = until.saturating_duration_since(self.port.now());
            if left.is_zero() {
                return Ok(false);
            }
            let n = self.port.read(&mut bytes, left).map_err(ClientError::Gone)?;
            self.buffer.extend_from_slice(&bytes[..n]);
        }
        Ok(true)
    }

    /// Notes what came by itself since the last command.
    fn take_unsolicited(&mut self) -> Result<(), ClientError> {
        while let Heard::Line(line) = self.line(self.port.now())? {
            self.received(&line)?;
        }
        Ok(())
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

    /// The next line that is not blank, of those that are whole by `until`.
    pub(super) fn line(&mut self, until: Instant) -> Result<Heard, ClientError> {
        const TURN: Duration = Duration::from_millis(50);
        let mut bytes = [0; 1024];
        loop {
            while let Some(at) = self.buffer.iter().position(|b| matches!(b, b'\r' | b'\n')) {
                let line: Vec<u8> = self.buffer.drain(..=at).collect();
                let text = String::from_utf8_lossy(&line[..at]).into_owned();
                if !text.trim().is_empty() {
                    self.restarted |= is_start(&text);
                    return Ok(Heard::Line(text));
                }
            }
            if self.buffer.len() > LONGEST {
                self.buffer.clear();
                self.remark("noise was left out")?;
            }
            if self.is_stopped() && !self.guarded {
                return Err(ClientError::Stopped);
            }
            if self.port.is_away() || self.port.returns() != self.returns {
                self.wait_for_port()?;
                return Ok(Heard::Away);
            }
            let left = until.saturating_duration_since(self.port.now());
            let n = self.port.read(&mut bytes, left.min(TURN)).map_err(ClientError::Gone)?;
            self.buffer.extend_from_slice(&bytes[..n]);
            if n == 0 && left.is_zero() {
                return Ok(Heard::Nothing);
            }
        }
    }

    /// Waits until a port that is away is back: a modem that restarts takes its USB ports away.
    fn wait_for_port(&mut self) -> Result<(), ClientError> {
        const TURN: Duration = Duration::from_millis(250);
        self.remark("the port is gone; its return is waited for")?;
        self.notice(Notice::PortGone);
        let begin = self.port.now();
        while self.port.is_away() {
            if self.is_stopped() && !self.guarded {
                return Err(ClientError::Stopped);
            }
            if self.port.now().duration_since(begin) > GONE_FOR_GOOD {
                self.remark("the port did not come back")?;
                let kind = io::ErrorKind::BrokenPipe;
                return Err(ClientError::Gone(io::Error::new(kind, "it did not come back")));
            }
            // Nothing can be read; a port that is followed looks for its return meanwhile.
            self.port.read(&mut [0; 1], TURN).map_err(ClientError::Gone)?;
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
