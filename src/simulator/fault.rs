//! What disturbs a line, at a byte of what the modem sends or receives.

use super::machine::{Behind, STALL_MS, Sent};
use serde::Deserialize;

/// A disturbance.
#[derive(Clone, Debug, Deserialize, schemars::JsonSchema, PartialEq, Eq)]
#[serde(deny_unknown_fields)]
pub struct Fault {
    /// What happens.
    pub kind: FaultKind,
    /// At which byte of all that the modem sends, or receives.
    pub at: usize,
    /// Whether it befalls what the modem sends or what it receives.
    #[serde(default)]
    pub of: Direction,
    /// How long it lasts, ms, for what lasts.
    #[serde(default)]
    pub ms: u64,
}

/// The direction of a byte, as the modem sees it.
#[derive(Clone, Copy, Debug, Default, Deserialize, schemars::JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum Direction {
    /// From the modem.
    #[default]
    Sent,
    /// To the modem.
    Received,
}

/// What happens to a line.
#[derive(Clone, Copy, Debug, Deserialize, schemars::JsonSchema, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub enum FaultKind {
    /// The line ends.
    Cut,
    /// Every answer takes a minute from here on.
    Stall,
    /// A byte changes.
    Garble,
    /// The modem restarts, and answers nothing for the time of the fault.
    Restart,
    /// An unsolicited code comes in the middle.
    Interleave,
    /// A byte is lost.
    Drop,
    /// A byte comes twice.
    Double,
    /// The rest comes late by the time of the fault.
    Late,
    /// The port is away for the time of the fault, and the modem restarts.
    Away,
    /// The same, and another modem comes back.
    Swap,
    /// A lot of noise comes.
    Flood,
}

impl FaultKind {
    /// Every kind.
    pub const ALL: [Self; 11] = [
        Self::Cut,
        Self::Stall,
        Self::Garble,
        Self::Restart,
        Self::Interleave,
        Self::Drop,
        Self::Double,
        Self::Late,
        Self::Away,
        Self::Swap,
        Self::Flood,
    ];

    /// Whether it can befall what the modem receives.
    pub const fn befalls_received(self) -> bool {
        matches!(self, Self::Garble | Self::Drop | Self::Double)
    }
}

impl Fault {
    /// A fault of what the modem sends.
    pub const fn new(kind: FaultKind, at: usize, ms: u64) -> Self {
        Self { kind, at, of: Direction::Sent, ms }
    }

    /// The pieces that the last piece becomes, where the fault stands at `at` of its bytes.
    pub(super) fn disturb(&self, mut last: Sent, at: usize) -> Vec<Sent> {
        let mut rest = last.bytes.split_off(at.min(last.bytes.len()));
        if rest.is_empty() {
            return vec![last];
        }
        let mut pieces = match self.kind {
            FaultKind::Cut => {
                last.behind = Behind::Ends;
                return vec![last];
            }
            FaultKind::Away | FaultKind::Swap => {
                last.behind = Behind::Away(self.ms);
                return vec![last];
            }
            FaultKind::Restart => {
                let start = b"\r\nRDY\r\n\r\n+CPIN: READY\r\n".to_vec();
                return vec![last, Sent::new(self.ms.max(20), start)];
            }
            FaultKind::Stall => vec![last, Sent::new(STALL_MS, rest)],
            FaultKind::Late => vec![last, Sent::new(self.ms, rest)],
            FaultKind::Garble => {
                rest[0] = garbled(rest[0]);
                vec![last, Sent::new(0, rest)]
            }
            FaultKind::Drop => vec![last, Sent::new(0, &rest[1..])],
            FaultKind::Double => {
                let first = rest[0];
                rest.insert(0, first);
                vec![last, Sent::new(0, rest)]
            }
            FaultKind::Interleave => {
                last.bytes.extend(b"\r\n+CTZV: +04\r\n");
                vec![last, Sent::new(0, rest)]
            }
            FaultKind::Flood => {
                vec![last, Sent::new(0, b"\xff\x00~".repeat(2000)), Sent::new(0, rest)]
            }
        };
        pieces.retain(|p| !p.bytes.is_empty() || p.after_ms > 0);
        pieces
    }
}

/// A byte that the line changed; it is none of ASCII afterwards.
pub(super) const fn garbled(byte: u8) -> u8 {
    byte.wrapping_add(0x55) | 0x80
}
