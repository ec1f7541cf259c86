//! In step with the modem again: no late response is under way, whatever was lost.
//!
//! A marker is a command whose response has a prefix of its own. Because a modem answers in order,
//! everything that was sent before it is answered, or lost for good, once the marker's response
//! comes.

use super::client::{Client, ClientError, MOST_LINES, Notice};
use super::line::Heard;
use super::response::{CommandResponse, ResultCode, is_start, prefix, result};
use super::time_out::{GONE_FOR_GOOD, LAST_TRY, LATE_QUIET, MARKER, QUIET, SLOWEST};
use std::time::Duration;

/// Commands that serve as markers (TS 27.007 §9.1, §8.2, §7.3): reads that every modem has.
const MARKERS: [&str; 3] = ["AT+CMEE?", "AT+CFUN?", "AT+COPS?"];

/// What a marker came to.
enum Marked {
    /// Its response came.
    InStep(CommandResponse),
    /// Results came, its own prefix did not.
    Refused,
    /// Nothing came but what other commands were answered with.
    Late,
    /// Nothing came.
    Silent,
}

impl Client<'_> {
    /// Waits until the modem answers and no late response is under way; sets the volatile settings
    /// again where it restarted meanwhile, and says whether it did.
    ///
    /// # Errors
    ///
    /// [`ClientError::Silent`] where it does not answer within [`GONE_FOR_GOOD`].
    pub(super) fn synchronise(&mut self) -> Result<bool, ClientError> {
        let limit = if self.given_up { LAST_TRY } else { GONE_FOR_GOOD };
        let begin = self.port.now();
        let mut refused: Vec<&str> = Vec::new();
        let mut told = false;
        let mut wait = MARKER + self.slow_by;
        while self.port.now().duration_since(begin) < limit {
            let free = MARKERS.iter().filter(|m| !refused.contains(m));
            let fresh = free.clone().find(|m| !self.pending.contains(&prefix(m)));
            let Some(marker) = fresh.or_else(|| free.clone().next()) else {
                if self.is_in_step_by_count()? {
                    return self.in_step(None);
                }
                continue;
            };
            if self.quiet && (self.restarted || told) {
                self.send("ATQ0", "ATQ0")?;
            }
            match self.mark(marker, wait)? {
                Marked::InStep(response) => {
                    self.slow_by = wait.saturating_sub(MARKER);
                    return self.in_step(Some((marker, response)));
                }
                // It answers what was asked before: it takes longer than others.
                Marked::Late => wait = (wait + MARKER).min(SLOWEST),
                Marked::Refused => refused.push(marker),
                Marked::Silent if !told => {
                    self.notice(Notice::Waiting);
                    told = true;
                }
                Marked::Silent => {}
            }
        }
        self.given_up = true;
        Err(ClientError::Silent)
    }

    /// Sends a marker and waits for its response.
    fn mark(&mut self, marker: &str, wait: Duration) -> Result<Marked, ClientError> {
        let own = prefix(marker);
        let sent_before = self.pending.contains(&own);
        let mut answered = false;
        if !self.pending.is_empty() {
            // The end of the last command may be lost: without it the marker would become its tail.
            self.write(b"\r")?;
            answered = self.drain(QUIET)?;
        }
        self.send(marker, marker)?;
        let until = self.port.now() + wait;
        let mut lines: Vec<String> = Vec::new();
        let (others, mut results) = (self.pending.len() - 1, 0);
        loop {
            let line = match self.line(until)? {
                Heard::Line(line) => line,
                Heard::Away => return Ok(Marked::Silent),
                // Results may be those of commands before it, once.
                Heard::Nothing if results > 0 && (sent_before || results > others) => {
                    return Ok(Marked::Refused);
                }
                Heard::Nothing => {
                    self.remark("no answer within the time")?;
                    let late = answered || results > 0;
                    return Ok(if late { Marked::Late } else { Marked::Silent });
                }
            };
            let trimmed = line.trim();
            let number = matches!(trimmed, "0" | "4");
            let end = result(trimmed).or_else(|| {
                (number && !lines.is_empty()).then(|| {
                    self.numeric = true;
                    ResultCode::Ok
                })
            });
            if is_start(trimmed) {
                self.received(&line)?;
                continue;
            }
            if trimmed.strip_prefix(&*own).is_some_and(|v| v.trim_start().starts_with(':')) {
                self.received(&line)?;
                lines = vec![line];
            } else if trimmed == marker {
            } else if let Some(end) = end {
                results += 1;
                if lines.is_empty() {
                    self.late = true;
                    self.doubles |= self.pending.len() == 1;
                    self.remark(&format!("late: {trimmed}"))?;
                    continue;
                }
                self.received(&line)?;
                // With the same marker under way twice a further response may follow.
                self.drain(if sent_before { LATE_QUIET } else { Duration::ZERO })?;
                return Ok(Marked::InStep(CommandResponse { lines, result: end }));
            } else {
                self.late |= self.pending.len() > 1;
                self.remark(&format!("late: {trimmed}"))?;
            }
        }
    }

    /// For a modem that has no marker: one `AT`, one result, and a quiet line before and behind it.
    fn is_in_step_by_count(&mut self) -> Result<bool, ClientError> {
        self.drain(LATE_QUIET)?;
        self.send("AT", "AT")?;
        let until = self.port.now() + MARKER;
        while let Heard::Line(line) = self.line(until)? {
            if result(&line).is_some() {
                self.received(&line)?;
                return Ok(!self.drain(LATE_QUIET)?);
            }
        }
        Ok(false)
    }

    /// Takes in what is late until the line is quiet for `quiet`; says whether a result was among it.
    fn drain(&mut self, quiet: Duration) -> Result<bool, ClientError> {
        let mut results = false;
        for _ in 0..MOST_LINES {
            let Heard::Line(line) = self.line(self.port.now() + quiet)? else { break };
            results |= result(&line).is_some();
            self.remark(&format!("late: {}", line.trim()))?;
        }
        Ok(results)
    }

    /// The modem is in step; settings that it lost are made again.
    fn in_step(&mut self, marker: Option<(&str, CommandResponse)>) -> Result<bool, ClientError> {
        self.settled();
        self.given_up = false;
        let lost = marker
            .as_ref()
            .is_some_and(|(command, response)| self.has_lost(&prefix(command), response));
        self.marker = marker.map(|(command, response)| (command.to_owned(), response));
        let restarted = std::mem::take(&mut self.restarted) || lost;
        if restarted {
            self.restarts += 1;
            self.notice(Notice::Restarted);
            self.remark("the modem restarted, or was away: its settings are made again")?;
            if self.numeric {
                self.ask_once("ATV1", "ATV1", QUIET * 3)?;
            }
            self.switch_again()?;
        }
        Ok(restarted)
    }
}
