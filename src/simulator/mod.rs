//! A simulated modem: a state that commands really change, served on a pseudo-terminal or TCP.
//!
//! [`Scenario`] is read from a TOML file of `demo/scenarios`; [`Modem`] is the machine, fed with
//! bytes and answering with bytes and delays, independent of any transport; [`serve`] puts it on a
//! line.

mod answer;
mod fault;
mod line;
mod modem;
mod replay;
mod scenario;
#[cfg(unix)]
pub mod serve;

pub use fault::Fault;
pub use line::Line;
pub use modem::{Machine, Modem, Sent, Settings};
pub use replay::Replay;
pub use scenario::{Scenario, ScenarioError};
