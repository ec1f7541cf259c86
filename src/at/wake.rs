//! Waking a modem: the first answer, the speed of the line, results as words.

use super::client::{Client, ClientError};
use super::knocks::Knocks;
use super::line::Heard;
use super::response::{ResultCode, is_start, result};
use super::time_out::WAKE;
use std::time::Duration;

/// Switches results on (V.250 §6.2.5): the answer of a modem that obeys and says nothing.
const SPEAK: &str = "ATQ0";

impl Client<'_> {
    /// Wakes the modem: three tries at the speed that is set, then the usual speeds where the line
    /// has one and `search` allows it; results as numbers are switched to words, and the modem is
    /// in step then. Says whether anything answered. [`Client::restore`] puts the results back.
    ///
    /// # Errors
    ///
    /// As [`Client::ask`].
    pub fn wake(&mut self, search: bool) -> Result<bool, ClientError> {
        /// An answer that comes later than the tries is waited for, where no speed is looked for.
        const LATE: Duration = Duration::from_secs(5);
        let answered_before = self.has_answered();
        self.knocks = Knocks { before: self.counts, ..Knocks::default() };
        let mut answered = false;
        for command in ["AT", "AT", SPEAK] {
            answered = answered || self.knock(command, WAKE)?;
        }
        if !answered {
            answered = search && self.find_speed()? || self.answers_late(LATE)?;
        }
        if !answered && self.restarted {
            // It said that it starts: what was sent before is lost.
            for _ in 0..3 {
                answered = answered || self.knock("AT", WAKE)?;
            }
        }
        if !answered {
            self.settled();
            self.take_rest()?;
            return Ok(false);
        }
        if self.numeric {
            self.send("ATV1", "ATV1")?;
        }
        // A start that was seen while nothing had been switched has taken nothing away.
        self.restarted &= !self.volatile.is_empty();
        self.synchronise()?;
        if !answered_before {
            self.note_quiet()?;
        }
        Ok(true)
    }

    /// Whether the modem had its results switched off: `AT` was echoed, and of all commands the bare
    /// `AT` alone stayed without a result, once it is in step. One that was only late, or asleep, is not
    /// switched back.
    fn note_quiet(&mut self) -> Result<(), ClientError> {
        let Knocks { silent: Some(silent), before, echoed } = self.knocks else { return Ok(()) };
        let (sent, came) = (self.counts.0 - before.0, self.counts.1 - before.1);
        if sent.checked_sub(came) != Some(silent) {
            return Ok(());
        }
        if echoed {
            self.quiet = true;
            return self.remark("its results were switched off (ATQ1), and are again at the end");
        }
        self.remark(
            "it answers since ATQ0; ATQ1 switches its results off, if they were off on purpose",
        )
    }

    /// Sends a command that every modem takes; says whether any result comes in time, its own or a late one.
    fn knock(&mut self, command: &str, wait: Duration) -> Result<bool, ClientError> {
        if command == SPEAK {
            self.knocks.silent = Some(self.counts.0 - self.knocks.before.0);
        }
        self.send(command, command)?;
        if self.answers_late(wait)? {
            return Ok(true);
        }
        self.remark("no answer within the time")?;
        Ok(false)
    }

    /// Whether a result comes within `wait`.
    fn answers_late(&mut self, wait: Duration) -> Result<bool, ClientError> {
        let until = self.port.now() + wait;
        loop {
            let line = match self.line(until)? {
                Heard::Line(line) => line,
                Heard::Nothing => return Ok(false),
                Heard::Away => continue,
            };
            if line.trim().eq_ignore_ascii_case("AT") || line.trim() == SPEAK {
                self.knocks.echoed |= self.knocks.silent.is_none();
                continue;
            }
            self.received(&line)?;
            if is_start(&line) {
                continue;
            }
            if result(&line).or_else(|| self.numbered("AT", &line)) == Some(ResultCode::Ok) {
                // What was sent before may be answered yet.
                self.pending.pop();
                return Ok(true);
            }
            if result(&line).is_some() {
                self.pending.pop();
                return Ok(true);
            }
        }
    }

    /// Tries the usual speeds, the most common first; the line stays at the one that answers.
    fn find_speed(&mut self) -> Result<bool, ClientError> {
        const SPEEDS: [u32; 9] =
            [9600, 115_200, 57_600, 38_400, 19_200, 230_400, 460_800, 921_600, 4800];
        const TRY: Duration = Duration::from_millis(600);
        for speed in SPEEDS {
            if !self.port.set_speed(speed).map_err(|error| self.gone(error))? {
                return Ok(false);
            }
            self.buffer.clear();
            self.pending.clear();
            self.knocks = Knocks { before: self.counts, ..Knocks::default() };
            self.remark(&format!("speed {speed}"))?;
            // The first byte after a change is often lost, and a modem that finds the speed by
            // itself needs two.
            for command in ["AT", SPEAK] {
                if self.knock(command, TRY)? {
                    return Ok(true);
                }
            }
        }
        Ok(false)
    }
}
