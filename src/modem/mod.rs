//! The AT client: one command at a time, what may be sent, the read-only run, amendments with undo.

mod access_point;
mod amend;
mod answer;
mod client;
mod examine;
mod fresh;
mod permit;
mod radio;

pub use amend::{Amendment, Change, Login, Refusal, Undo, remedy};
pub use answer::{Answer, End};
pub use client::{Client, ClientError};
pub use examine::{Examination, Progress, examine};
pub use fresh::{BrokenOff, Fresh, begin_anew};
pub use permit::{is_read, patience};
