//! A machine on a line within this process, with a clock of its own: pauses cost no time.

use super::machine::{Behind, Machine, Sent};
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
    /// Until when the line is away.
    away_until: Option<Duration>,
    returns: u32,
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
            away_until: None,
            returns: 0,
            piece: piece.max(1),
        }
    }

    /// The time that has passed by the line's own clock.
    pub const fn passed(&self) -> Duration {
        self.passed
    }

    fn take(&mut self, pieces: Vec<Sent>) {
        for sent in pieces {
            let last = self.coming.back().map_or(self.passed, |(due, _)| (*due).max(self.passed));
            self.coming.push_back((last + Duration::from_millis(sent.after_ms), sent));
        }
    }

    /// Lets time pass, at most until `until`; ends early where something arrives.
    fn pass(&mut self, until: Duration) {
        let due = self.coming.front().map(|(due, _)| *due);
        let event = self.machine.next_event();
        let next = due.into_iter().chain(event).min().unwrap_or(until).min(until);
        self.passed = self.passed.max(next);
        let pieces = self.machine.idle(self.passed);
        self.take(pieces);
    }

    fn come_back(&mut self) {
        self.away_until = None;
        self.returns += 1;
        self.coming.clear();
        self.machine.plugged_in(self.passed);
    }
}

impl Port for Line<'_> {
    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        let until = self.passed + wait;
        if let Some(back) = self.away_until {
            self.passed = until;
            if self.passed >= back {
                self.come_back();
            }
            return Ok(0);
        }
        loop {
            match self.coming.front_mut() {
                Some((due, sent)) if *due <= self.passed => {
                    let n = sent.bytes.len().min(buffer.len()).min(self.piece);
                    buffer[..n].copy_from_slice(&sent.bytes[..n]);
                    sent.bytes.drain(..n);
                    if sent.bytes.is_empty() {
                        match sent.behind {
                            Behind::Stays => {}
                            Behind::Ends => self.gone = true,
                            Behind::Away(ms) => {
                                self.away_until = Some(self.passed + Duration::from_millis(ms));
                            }
                        }
                        self.coming.pop_front();
                    }
                    if n > 0 || self.away_until.is_some() {
                        return Ok(n);
                    }
                }
                _ if self.gone => return Err(io::ErrorKind::BrokenPipe.into()),
                _ if self.passed >= until => return Ok(0),
                _ => self.pass(until),
            }
        }
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        if self.gone {
            return Err(io::ErrorKind::BrokenPipe.into());
        }
        if self.away_until.is_none() {
            let pieces = self.machine.feed(bytes, self.passed);
            self.take(pieces);
        }
        Ok(())
    }

    fn is_away(&self) -> bool {
        self.away_until.is_some()
    }

    fn returns(&self) -> u32 {
        self.returns
    }

    fn now(&self) -> Instant {
        self.begun + self.passed
    }
}
