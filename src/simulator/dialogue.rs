//! The dialogue of the simulated modem: bytes in, commands answered, bytes out with their faults.

use super::answer::answer;
use super::fault::{Direction, FaultKind, garbled};
use super::machine::{Machine, STALL_MS, Sent};
use super::modem::Modem;
use std::time::Duration;

impl Modem {
    fn respond(&mut self, command: &str) -> Vec<Sent> {
        if self.silent > 0 {
            self.silent -= 1;
            return Vec::new();
        }
        if self.now < self.starts_until {
            return Vec::new();
        }
        let mut out = String::new();
        if self.settings.echo {
            out.push_str(command);
            out.push('\r');
        }
        let upper = command.trim().to_ascii_uppercase();
        let Some(body) = upper.strip_prefix("AT") else { return self.send(0, out.into_bytes()) };
        self.commands.push(command.trim().to_owned());
        let original = command.trim().get(2..).unwrap_or("");
        let (lines, result) = match self.refusal(&upper) {
            Some(result) => (Vec::new(), result),
            None => answer(self, body, original),
        };
        let asked: Option<&String> = self.scenario.modem.unsolicited.get(self.next_unsolicited);
        let unsolicited = asked.cloned().filter(|_| self.commands.len().is_multiple_of(3));
        if unsolicited.is_some() {
            self.next_unsolicited =
                (self.next_unsolicited + 1) % self.scenario.modem.unsolicited.len();
        }
        for (n, line) in lines.iter().enumerate() {
            out.push_str("\r\n");
            out.push_str(line);
            out.push_str("\r\n");
            if let Some(code) = unsolicited.as_ref().filter(|_| n == 0) {
                out.push_str("\r\n");
                out.push_str(code);
                out.push_str("\r\n");
            }
        }
        let text = out.len();
        match result {
            // V.250 §6.2.5.
            Some(_) if self.settings.quiet => {}
            // V.250 §6.2.6: a number, and nothing but a carriage return behind it.
            Some(result) if !self.settings.verbose && matches!(&*result, "OK" | "ERROR") => {
                out.push_str(if result == "OK" { "0\r" } else { "4\r" });
            }
            Some(result) => {
                out.push_str("\r\n");
                out.push_str(&result);
                out.push_str("\r\n");
            }
            None => {}
        }
        let pause = self
            .scenario
            .modem
            .slow_ms
            .get(&upper)
            .copied()
            .unwrap_or(self.scenario.modem.delay_ms);
        let first = if self.commands.len() == 1 { self.scenario.modem.first_answer_ms } else { 0 };
        let again = out[text..].to_owned();
        let mut sent = self.send(pause + first, out.into_bytes());
        if self.scenario.modem.doubled_ms > 0 && !again.is_empty() {
            sent.extend(self.send(self.scenario.modem.doubled_ms, again.into_bytes()));
        }
        sent
    }

    /// What came in long ago is kept no longer: a rehearsal may run for weeks.
    fn forget_old(&mut self) {
        /// So many bytes, and commands, a multiple of three, which codes that come by themselves count by.
        const MOST_BYTES: usize = 1 << 20;
        const MOST_COMMANDS: usize = 60_000;
        if self.received.len() > MOST_BYTES {
            self.received.drain(..MOST_BYTES / 2);
        }
        if self.commands.len() > MOST_COMMANDS {
            self.commands.drain(..MOST_COMMANDS / 2);
        }
    }

    /// What the scenario refuses a command with; an empty refusal is silence.
    fn refusal(&mut self, command: &str) -> Option<Option<String>> {
        let refusals = &self.scenario.modem.refuse;
        let (key, words) = refusals.iter().find(|(key, _)| command.starts_with(key.as_str()))?;
        let (key, words) = (key.clone(), words.clone());
        let most = self.scenario.modem.refuse_times;
        let count = self.refused.entry(key).or_insert(0);
        *count += 1;
        (most == 0 || *count <= most).then(|| (!words.is_empty()).then_some(words))
    }

    /// Sends bytes, with what the scenario's faults make of them.
    pub(super) fn send(&mut self, after_ms: u64, bytes: Vec<u8>) -> Vec<Sent> {
        let begin = self.sent;
        self.sent += bytes.len();
        let here: Vec<_> = self
            .scenario
            .fault
            .iter()
            .filter(|f| f.of == Direction::Sent && (begin..self.sent).contains(&f.at))
            .cloned()
            .collect();
        let after_ms = if self.stalled { STALL_MS } else { after_ms };
        let mut pieces = vec![Sent::new(after_ms, bytes)];
        let mut done = 0;
        for fault in here {
            let last = pieces.pop().unwrap_or_default();
            let at =
                (fault.at - begin).saturating_sub(done).min(last.bytes.len().saturating_sub(1));
            done += at;
            pieces.extend(fault.disturb(last, at));
            match fault.kind {
                FaultKind::Cut => self.gone = true,
                FaultKind::Stall => self.stalled = true,
                FaultKind::Restart => self.restart(fault.ms),
                FaultKind::Swap => self.swaps = true,
                _ => {}
            }
        }
        pieces
    }

    /// The bytes as they arrive, with what the scenario's faults make of them.
    fn arriving(&mut self, bytes: &[u8]) -> Vec<u8> {
        let mut arrived = Vec::with_capacity(bytes.len());
        for &byte in bytes {
            let at = self.arrived;
            self.arrived += 1;
            let fault = self
                .scenario
                .fault
                .iter()
                .find(|f| f.of == Direction::Received && f.at == at)
                .map(|f| f.kind);
            match fault {
                Some(FaultKind::Drop) => {}
                Some(FaultKind::Double) => arrived.extend([byte, byte]),
                Some(FaultKind::Garble) => arrived.push(garbled(byte)),
                _ => arrived.push(byte),
            }
        }
        arrived
    }

    /// What a report that is switched on says of the state, as it comes by itself.
    fn report(&self) -> Option<String> {
        let mode = self.settings.reports.get("+CEREG")?;
        let (stat, cause) = self.registration();
        Some(match (mode.as_str(), stat, cause) {
            ("3", 3, Some(cause)) => format!("+CEREG: {stat},,,,0,{cause}"),
            ("2" | "3", 1 | 5, _) => format!("+CEREG: {stat},\"0A11\",\"0003A2B1\",7"),
            _ => format!("+CEREG: {stat}"),
        })
    }
}

impl Machine for Modem {
    fn feed(&mut self, bytes: &[u8], now: Duration) -> Vec<Sent> {
        self.now = now;
        let mut sent = Vec::new();
        self.forget_old();
        self.received.extend(bytes);
        for byte in self.arriving(bytes) {
            if self.gone {
                return sent;
            }
            match byte {
                b'\r' => {
                    let line =
                        String::from_utf8_lossy(&std::mem::take(&mut self.line)).into_owned();
                    if !line.trim().is_empty() {
                        sent.extend(self.respond(line.trim_start_matches('\n')));
                    }
                }
                b'\n' | 0x1b => {}
                0x08 => {
                    self.line.pop();
                }
                _ if self.line.len() < 2048 => self.line.push(byte),
                _ => {}
            }
        }
        sent
    }

    fn idle(&mut self, now: Duration) -> Vec<Sent> {
        self.now = now;
        if self.ready_at.is_some_and(|at| at <= now) {
            self.ready_at = None;
            return self.send(0, b"\r\nRDY\r\n".to_vec());
        }
        let found = self.found_at.is_some_and(|at| at <= now);
        let state = self.registration();
        let was = self.reported.replace(state).unwrap_or(state);
        // Service that goes or comes is a report of its own.
        let changed = !self.scenario.network.outage.is_empty() && was != state;
        if !found && !changed {
            return Vec::new();
        }
        if found {
            self.found_at = None;
        }
        match self.report() {
            Some(report) => self.send(0, format!("\r\n{report}\r\n").into_bytes()),
            None => Vec::new(),
        }
    }

    fn next_event(&self) -> Option<Duration> {
        self.ready_at.into_iter().chain(self.found_at).chain(self.next_outage_change()).min()
    }

    fn plugged_in(&mut self, now: Duration) {
        self.now = now;
        self.restart(0);
        if std::mem::take(&mut self.swaps) {
            self.swap();
        }
    }
}
