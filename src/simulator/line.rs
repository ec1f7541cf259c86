//! A machine on a line within this process, with a clock of its own: pauses cost no time.

use super::modem::{Machine, Sent};
use crate::port::Port;
use std::collections::VecDeque;
use std::io;
use std::time::{Duration, Instant};

/// A simulated line.
pub struct Line<'m> {
    machine: &'m mut dyn Machine,
    begun: Instant,
    passed: Duration,
    /// What is under way: when it arrives, and its bytes.
    coming: VecDeque<(Duration, Sent)>,
    gone: bool,
    /// So many bytes are handed out at once.
    piece: usize,
}

impl<'m> Line<'m> {
    /// A line to a machine; at most `piece` bytes are handed out at once.
    pub fn new(machine: &'m mut dyn Machine, piece: usize) -> Self {
        Self {
            machine,
            begun: Instant::now(),
            passed: Duration::ZERO,
            coming: VecDeque::new(),
            gone: false,
            piece: piece.max(1),
        }
    }

    /// The time that has passed by the line's own clock.
    pub const fn passed(&self) -> Duration {
        self.passed
    }
}

impl Port for Line<'_> {
    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        let Some((due, sent)) = self.coming.front_mut() else {
            if self.gone {
                return Err(io::ErrorKind::BrokenPipe.into());
            }
            self.passed += wait;
            return Ok(0);
        };
        if *due > self.passed + wait {
            self.passed += wait;
            return Ok(0);
        }
        self.passed = self.passed.max(*due);
        let n = sent.bytes.len().min(buffer.len()).min(self.piece);
        buffer[..n].copy_from_slice(&sent.bytes[..n]);
        sent.bytes.drain(..n);
        if sent.bytes.is_empty() {
            self.gone |= sent.cut;
            self.coming.pop_front();
            if n == 0 {
                return self.read(buffer, wait);
            }
        }
        Ok(n)
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        if self.gone {
            return Err(io::ErrorKind::BrokenPipe.into());
        }
        for sent in self.machine.feed(bytes) {
            let last = self.coming.back().map_or(self.passed, |(due, _)| (*due).max(self.passed));
            self.coming.push_back((last + Duration::from_millis(sent.after_ms), sent));
        }
        Ok(())
    }

    fn now(&self) -> Instant {
        self.begun + self.passed
    }
}
