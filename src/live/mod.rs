//! Work on a live modem: the read-only examination, and amendments with undo.
//!
//! Everything here stands above the verdict and reads values through the response families. What is
//! written is read back; what is built on a read is read twice; a radio that is switched off is
//! switched on whatever happens.

mod access_point;
mod amend;
mod apply;
mod examine;
mod fresh;
mod inventory;
mod journal;
mod modem_identity;
mod private_file;
mod proof;
mod radio;
mod radio_cycle;
mod setting;
mod undo;
mod values;

pub use amend::{Amendment, Change, Login, Refusal, Step};
pub use apply::{Altered, SameModem};
pub use examine::{Examination, Further, Progress, examine, examine_further};
pub use fresh::{BrokenOff, Fresh, begin_anew};
pub use inventory::{ModemName, Probed, by_modem, is_named, probe_all};
pub use journal::{Entry, EntryState, Journal, RadioEntry};
pub use modem_identity::{Key, Match, ModemIdentity};
pub use private_file::create as create_private_file;
pub use radio_cycle::{CycleError, RADIO_ON};
pub use setting::Setting;
pub use undo::{Force, Undo};
