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
//! | `host` | what is needed of the computer: port, clocks, probe, whoever is told |
//! | `line` | when the port was away |
//! | `session` | one stretch with the modem on the line: rounds, listening |
//! | `explain` | the examination at an outage |
//! | `dialogue` | the folder of their dialogues |
//! | `probe` | whether anything passes |
//! | `run` | the watch from its beginning to its end |
//! | `figures` | what metrics show |
//! | `metrics`, `listen` | the figures in the formats of metrics, and their address |
//! | `report` | what a log says: availability, outages by cause |
//! | `log` | the log on the disk: appending, mending, rotation, compression, the limit on the whole |

mod dialogue;
mod entry;
mod event;
mod explain;
mod figures;
mod host;
mod line;
mod listen;
mod log;
mod look;
mod metrics;
mod probe;
pub mod report;
mod run;
mod session;
mod state;
mod trouble;

pub use entry::{Entry, Head, Manner};
pub use event::{Event, Kind};
pub use figures::{Figures, Snapshot};
pub use host::Host;
pub use listen::listen;
pub use log::{Found, Limits, Log, LogError, files};
pub use look::{Look, Refusal};
pub use metrics::{classic, openmetrics};
pub use probe::Probe;
pub use run::{Settings, Summary, Watch};
pub use state::{Moment, State};
pub use trouble::Trouble;
