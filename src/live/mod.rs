//! Work on a live modem: the read-only examination, and amendments with undo.
//!
//! Everything here stands above the verdict and reads values through the response families. What is
//! written is read back; what is built on a read is read twice; a radio that is switched off is
//! switched on whatever happens.

mod access_point;
mod agreed;
mod altered;
mod amend;
mod apply;
mod card;
mod cycle_error;
mod examine;
mod follow;
mod following;
mod fresh;
mod inventory;
mod journal;
mod modem_identity;
mod proof;
mod put_back;
mod radio;
mod radio_cycle;
mod refusal;
mod same_modem;
mod setting;
mod silence;
mod strays;
mod strict;
mod undo;
mod values;

pub use altered::Altered;
pub use amend::{Amendment, Change, Login, Step};
pub use apply::Applied;
pub use cycle_error::{CycleError, RADIO_ON};
pub use examine::{Examination, Further, Progress, examine, examine_further};
pub use follow::{FollowEnd, Onlooker, follow};
pub use following::{DOMAINS, Following, Phase};
pub use fresh::{BrokenOff, Fresh, begin_anew};
pub use inventory::{ModemName, Probed, by_modem, is_named, name_among, probe_all};
pub use journal::{Entries, Entry, EntryState, Journal, RadioEntry};
pub use modem_identity::{Key, Match, ModemIdentity};
pub use put_back::Force;
pub use refusal::Refusal;
pub use same_modem::SameModem;
pub use setting::Setting;
pub use silence::silence;
pub use undo::Undo;
