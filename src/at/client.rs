//! One command at a time: its whole response, and never a response to another command.
//!
//! A modem answers in order (V.250 §5.7). While a command is pending, nothing further is sent but
//! by [`Client::synchronise`], which finds out that no late response is under way.

use super::knocks::Knocks;
use super::line::Heard;
use super::permit::is_read;
use super::response::{
    CommandResponse, ResultCode, expects_lines, is_damaged, is_of_another, is_start, prefix, result,
};
use super::secret::Secrets;
use super::time_out::{AFTER_START, time_out};
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

/// No response has more lines, and no pause more that come by themselves.
pub(super) const MOST_LINES: usize = 2000;

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
    /// The user asked for an end, which comes once the modem is left as it should be.
    StopWaits,
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
    /// Whether results were switched off when the modem was woken (`ATQ1`, V.250 §6.2.5).
    pub(super) quiet: bool,
    /// Whether a result came that no command had asked for: such a modem is heard out before each command.
    pub(super) doubles: bool,
    /// So much longer than others this modem takes for an answer.
    pub(super) slow_by: Duration,
    /// How many commands went out, and how many results came.
    pub(super) counts: (u32, u32),
    pub(super) knocks: Knocks,
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
    /// Whether the recording says that the line has ended.
    ended: bool,
    stop: &'p AtomicBool,
    /// Whether a stop waits, because the modem must not be left as it is.
    pub(super) guarded: bool,
    pub(super) stop_told: bool,
    waited: Duration,
    pub(super) returns: u32,
    notice: fn(Notice),
}

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
            quiet: false,
            doubles: false,
            slow_by: Duration::ZERO,
            counts: (0, 0),
            knocks: Knocks::default(),
            volatile: Vec::new(),
            marker: None,
            restarted: false,
            restarts: 0,
            given_up: false,
            secrets: Secrets::default(),
            answered: false,
            ended: false,
            stop,
            guarded: false,
            stop_told: false,
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
            let restarted = self.synchronise()?;
            // Whoever writes looks first whether it is still the same modem.
            if restarted && !is_read(command) {
                return Ok(CommandResponse { lines: Vec::new(), result: ResultCode::Interrupted });
            }
        }
        self.marker = None;
        self.secrets.sent(command, shown);
        self.send(command, shown)?;
        let begin = self.port.now();
        let response = self.response(command, begin + patience + self.slow_by);
        self.waited += self.port.now().duration_since(begin);
        response
    }

    /// Sends one command; its response is pending from then on.
    pub(super) fn send(&mut self, command: &str, shown: &str) -> Result<(), ClientError> {
        self.recorder.sent(shown).map_err(ClientError::Recording)?;
        self.pending.push(prefix(command));
        self.counts.0 += 1;
        self.write(format!("{command}\r").as_bytes())
    }

    /// Writes bytes. A line that takes none is as silent as a modem that hears none, and waited for alike.
    pub(super) fn write(&mut self, bytes: &[u8]) -> Result<(), ClientError> {
        match self.port.write(bytes) {
            Err(error) if error.kind() == io::ErrorKind::TimedOut => {
                self.remark("the line takes no bytes, as where flow control holds it")
            }
            written => written.map_err(|error| self.gone(error)),
        }
    }

    /// The line has ended, which a recording says.
    pub(super) fn gone(&mut self, error: std::io::Error) -> ClientError {
        if !std::mem::replace(&mut self.ended, true)
            && let Err(recording) = self.remark("the port did not come back")
        {
            return recording;
        }
        ClientError::Gone(error)
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
                Heard::Line(_) if lines.len() >= MOST_LINES => break,
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
        if !["AT", "ATQ0", "ATV0", "ATV1"].iter().any(|c| command.trim().eq_ignore_ascii_case(c)) {
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
}
