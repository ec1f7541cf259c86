//! Work on a live modem: the read-only examination, and amendments with undo.

mod access_point;
mod amend;
mod examine;
mod fresh;
mod radio;
mod radio_cycle;
mod values;

pub use amend::{Amendment, Change, Login, Refusal, Undo};
pub use examine::{Examination, Further, Progress, examine, examine_further};
pub use fresh::{BrokenOff, Fresh, begin_anew};
pub use radio_cycle::{CycleError, RADIO_ON};
