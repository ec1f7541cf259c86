//! Work on a live modem: the read-only examination, and amendments with undo.

mod access_point;
mod amend;
mod examine;
mod fresh;
mod radio;

pub use amend::{Amendment, Change, Login, Refusal, Undo, remedy};
pub use examine::{Examination, Progress, examine};
pub use fresh::{BrokenOff, Fresh, begin_anew};
