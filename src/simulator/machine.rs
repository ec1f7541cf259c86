//! What a line talks to: something that takes bytes and gives bytes, with pauses, by a clock.

use std::time::Duration;

/// A stalled modem takes so long for each answer, ms.
pub(super) const STALL_MS: u64 = 60_000;

/// Something that answers bytes with bytes, on whatever line.
pub trait Machine: Send {
    /// Takes what came in and gives what goes out, each piece with the pause before it. `now` is the
    /// time since the line began.
    fn feed(&mut self, bytes: &[u8], now: Duration) -> Vec<Sent>;

    /// What it sends by itself at this time.
    fn idle(&mut self, now: Duration) -> Vec<Sent> {
        let _ = now;
        Vec::new()
    }

    /// When it will send something by itself; `None` where it will not.
    fn next_event(&self) -> Option<Duration> {
        None
    }

    /// The line was away and is back.
    fn plugged_in(&mut self, now: Duration) {
        let _ = now;
    }
}

/// What becomes of the line behind a piece.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Behind {
    /// It stays.
    #[default]
    Stays,
    /// It ends.
    Ends,
    /// It is away for so long, ms.
    Away(u64),
}

/// A piece that the machine sends.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sent {
    /// The pause before it, ms.
    pub after_ms: u64,
    /// The bytes.
    pub bytes: Vec<u8>,
    /// What becomes of the line behind it.
    pub behind: Behind,
}

impl Sent {
    /// A piece behind which the line stays.
    pub fn new(after_ms: u64, bytes: impl Into<Vec<u8>>) -> Self {
        Self { after_ms, bytes: bytes.into(), behind: Behind::Stays }
    }
}
