//! A simulated modem: a state that commands really change, served on a pseudo-terminal or TCP.
//!
//! [`Scenario`] is read from a TOML file of `demo/scenarios`; [`Modem`] is the machine, fed with
//! bytes and answering with bytes and delays, independent of any transport; [`serve`] puts it on a
//! line.

mod answer;
mod card;
mod dialogue;
mod fault;
mod line;
mod machine;
mod modem;
mod ports;
mod replay;
mod response;
mod scenario;
#[cfg(unix)]
pub mod serve;

pub use fault::{Direction, Fault, FaultKind};
pub use line::Line;
pub use machine::{Behind, Machine, Sent};
pub use modem::{Modem, Settings};
pub use ports::ports;
pub use replay::Replay;
pub use scenario::{CardState, Outage, PortRole, Scenario, ScenarioError};
