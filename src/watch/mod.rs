//! The unattended watch of one modem: readings at an interval, events between them, a log that a kill does not tear.
//!
//! ```text
//! port ─► client ─► Look ──► State ──► events ─┐
//!                    └─────► Sample ───────────┴─► Log (JSON Lines, rotated) ─► report
//!                                                └► figures for metrics
//! ```
//!
//! | file | owns |
//! | --- | --- |
//! | `event` | what can happen, and a line of the log about it |
//! | `entry` | the other lines of the log: its head and the samples |
//! | `look` | what one round of answers says |
//! | `trouble` | the kinds of trouble and how long each lasts |
//! | `state` | looks in order to events: losses, changes, levels |
//! | `log` | the log on the disk: appending, mending, rotation, compression, the limit on the whole |

mod entry;
mod event;
mod log;
mod look;
mod state;
mod trouble;

pub use entry::{Entry, Head, Manner};
pub use event::{Event, Kind};
pub use log::{Limits, Log, LogError};
pub use look::{Look, Refusal};
pub use state::State;
pub use trouble::Trouble;
