//! Lines to a modem: serial ports, TCP, a child process's streams; and the recording of a dialogue.

mod child;
mod find;
mod follow;
mod holders;
mod line;
mod open;
mod record;
mod serial;
mod tcp;

pub use find::{Candidate, Speaks, candidates, listing, probe};
pub use follow::open_followed;
pub use holders::holders;
pub use line::{OpenError, Port};
pub use open::open;
pub use record::Recorder;
