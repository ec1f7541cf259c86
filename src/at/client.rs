//! One command at a time: what was answered, whole, and never an answer of another command.

use super::answer::{Answer, End, expects_lines, head, is_damaged, is_of_another, result};
use crate::port::{Port, Recorder};
use std::io;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Why no answer can be had any more.
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

/// A client of one modem.
pub struct Client<'p> {
    port: &'p mut dyn Port,
    recorder: Recorder,
    buffer: Vec<u8>,
    /// Commands whose answers did not come in time: they may come late.
    owed: usize,
    /// Whether an answer was ever late: an answer is looked at twice from then on.
    shaky: bool,
    /// Whether results came as numbers when the modem was woken (`ATV0`, V.250 §6.2.6).
    numeric: bool,
    stop: &'p AtomicBool,
    waited: Duration,
}

/// Lines longer than this are noise.
const LONGEST: usize = 8192;
/// After so long without a byte the line counts as quiet.
const QUIET: Duration = Duration::from_millis(300);

impl<'p> Client<'p> {
    /// A client over a port, which writes down everything; it ends early once `stop` is set.
    pub fn new(port: &'p mut dyn Port, recorder: Recorder, stop: &'p AtomicBool) -> Self {
        Self {
            port,
            recorder,
            buffer: Vec::new(),
            owed: 0,
            shaky: false,
            numeric: false,
            stop,
            waited: Duration::ZERO,
        }
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

    /// Sends a command and waits at most `patience` for its whole answer.
    ///
    /// # Errors
    ///
    /// [`ClientError`] where the line or the recording fails, or the user stopped it.
    pub fn ask(&mut self, command: &str, patience: Duration) -> Result<Answer, ClientError> {
        self.ask_as(command, command, patience)
    }

    /// The same, with other words in the recording: a PIN never stands in it.
    ///
    /// # Errors
    ///
    /// As [`Client::ask`].
    pub fn ask_as(
        &mut self,
        command: &str,
        shown: &str,
        patience: Duration,
    ) -> Result<Answer, ClientError> {
        if self.owed > 0 && !self.settle()? {
            return Err(ClientError::Silent);
        }
        self.take_unsolicited()?;
        self.recorder.sent(shown).map_err(ClientError::Recording)?;
        self.port.write(format!("{command}\r").as_bytes()).map_err(ClientError::Gone)?;
        let begin = self.port.now();
        let answer = self.answer(command, shown, begin + patience);
        self.waited += self.port.now().duration_since(begin);
        answer
    }

    fn answer(
        &mut self,
        command: &str,
        shown: &str,
        until: Instant,
    ) -> Result<Answer, ClientError> {
        let head = head(command);
        let mut lines: Vec<String> = Vec::new();
        let mut late = false;
        while let Some(line) = self.line(until)? {
            // An echo is written down as what was sent already; what stood before it came unasked.
            if line.trim() == command.trim() {
                continue;
            }
            let noted = if line.contains(command) && command != shown {
                line.replace(command, shown)
            } else {
                line.clone()
            };
            let end = result(&line).or_else(|| self.numbered(command, &line));
            if end.is_none() && is_of_another(&line, &head) || late {
                self.recorder
                    .remark(&format!("late: {}", noted.trim()))
                    .map_err(ClientError::Recording)?;
                // The result behind it is the other command's.
                late = end.is_none();
                continue;
            }
            if is_damaged(&line, &head) {
                self.recorder
                    .remark(&format!("damaged: {}", noted.trim()))
                    .map_err(ClientError::Recording)?;
                continue;
            }
            let bare =
                end == Some(End::Ok) && lines.is_empty() && self.shaky && expects_lines(command);
            if bare && self.more_comes()? {
                self.recorder.remark("late: OK").map_err(ClientError::Recording)?;
                continue;
            }
            self.recorder.received(&noted).map_err(ClientError::Recording)?;
            match end {
                Some(end) => return Ok(Answer { lines, end }),
                None => lines.push(noted),
            }
        }
        self.owed += 1;
        self.shaky = true;
        self.recorder.remark("no answer within the time").map_err(ClientError::Recording)?;
        Ok(Answer { lines, end: End::Silent })
    }

    /// A result as a number, which is looked for where a modem is woken or its results are switched
    /// to words: elsewhere a lone digit may be data.
    fn numbered(&mut self, command: &str, line: &str) -> Option<End> {
        if !["AT", "ATV0", "ATV1"].iter().any(|c| command.trim().eq_ignore_ascii_case(c)) {
            return None;
        }
        let end = match line.trim() {
            "0" => End::Ok,
            "4" => End::Error("4".into()),
            _ => return None,
        };
        self.numeric = true;
        Some(end)
    }

    /// Wakes the modem: three tries at the speed that is set, then the usual speeds where the line
    /// has one and `search` allows it; results as numbers are switched to words. Says whether
    /// anything answered. [`Client::leave`] puts the results back.
    ///
    /// # Errors
    ///
    /// As [`Client::ask`].
    pub fn wake(&mut self, search: bool) -> Result<bool, ClientError> {
        const TRY: Duration = Duration::from_secs(1);
        let mut answered = false;
        // A modem that is woken owes nothing: what it did not answer before a restart never comes.
        self.owed = 0;
        for _ in 0..3 {
            if self.ask("AT", TRY)?.end != End::Silent {
                answered = true;
                break;
            }
            // Nothing has answered yet, so nothing is owed.
            self.owed = 0;
        }
        if !answered && search {
            answered = self.find_speed()?;
        }
        if answered && self.numeric {
            self.ask("ATV1", TRY)?;
        }
        Ok(answered)
    }

    /// Tries the usual speeds, the most common first; the line stays at the one that answers.
    fn find_speed(&mut self) -> Result<bool, ClientError> {
        const SPEEDS: [u32; 9] =
            [9600, 115_200, 57_600, 38_400, 19_200, 230_400, 460_800, 921_600, 4800];
        const TRY: Duration = Duration::from_millis(600);
        for speed in SPEEDS {
            if !self.port.set_speed(speed).map_err(ClientError::Gone)? {
                return Ok(false);
            }
            self.buffer.clear();
            self.recorder.remark(&format!("speed {speed}")).map_err(ClientError::Recording)?;
            // The first byte after a change is often lost, and a modem that finds the speed by
            // itself needs two.
            for _ in 0..2 {
                if self.ask("AT", TRY)?.end != End::Silent {
                    return Ok(true);
                }
                self.owed = 0;
            }
        }
        Ok(false)
    }

    /// Puts back what [`Client::wake`] switched; `false` where the modem did not take it.
    ///
    /// # Errors
    ///
    /// As [`Client::ask`].
    pub fn leave(&mut self) -> Result<bool, ClientError> {
        if !std::mem::take(&mut self.numeric) {
            return Ok(true);
        }
        Ok(self.ask("ATV0", Duration::from_secs(1))?.is_ok())
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

    /// Waits until every late answer has come in and the line is quiet, asking a bare `AT` to see
    /// whether anything still answers; `false` where nothing does.
    fn settle(&mut self) -> Result<bool, ClientError> {
        const LONG: Duration = Duration::from_secs(3);
        for _ in 0..2 {
            self.port.write(b"AT\r").map_err(ClientError::Gone)?;
            self.owed += 1;
            let mut heard = false;
            loop {
                // Once all are in, a short quiet is enough; an answer may be lost for good, too.
                let wait = if self.owed == 0 { QUIET } else { LONG };
                let until = self.port.now() + wait;
                let Some(line) = self.line(until)? else { break };
                if line.trim() == "AT" {
                    continue;
                }
                if result(&line).is_some() {
                    heard = true;
                    self.owed = self.owed.saturating_sub(1);
                }
                self.recorder
                    .remark(&format!("late: {}", line.trim()))
                    .map_err(ClientError::Recording)?;
            }
            if heard {
                self.owed = 0;
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Notes what came by itself since the last command.
    fn take_unsolicited(&mut self) -> Result<(), ClientError> {
        while let Some(line) = self.line(self.port.now())? {
            self.recorder.received(&line).map_err(ClientError::Recording)?;
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
            if let Some(line) = self.line(until)? {
                self.recorder.received(&line).map_err(ClientError::Recording)?;
            }
        }
        Ok(())
    }

    /// The next line that is not blank; `None` where none is whole by `until`.
    fn line(&mut self, until: Instant) -> Result<Option<String>, ClientError> {
        const TURN: Duration = Duration::from_millis(50);
        let mut bytes = [0; 1024];
        loop {
            while let Some(at) = self.buffer.iter().position(|b| matches!(b, b'\r' | b'\n')) {
                let line: Vec<u8> = self.buffer.drain(..=at).collect();
                let text = String::from_utf8_lossy(&line[..at]).into_owned();
                if !text.trim().is_empty() {
                    return Ok(Some(text));
                }
            }
            if self.buffer.len() > LONGEST {
                self.buffer.clear();
                self.recorder.remark("noise was left out").map_err(ClientError::Recording)?;
            }
            if self.stop.load(Ordering::Relaxed) {
                return Err(ClientError::Stopped);
            }
            let left = until.saturating_duration_since(self.port.now());
            let n = self.port.read(&mut bytes, left.min(TURN)).map_err(ClientError::Gone)?;
            self.buffer.extend_from_slice(&bytes[..n]);
            if n == 0 && left.is_zero() {
                return Ok(None);
            }
        }
    }
}
