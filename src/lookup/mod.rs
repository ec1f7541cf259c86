//! Answers to single questions about bands, channels, causes, errors, indices, identities, files
//! and commands, out of the tables and the arithmetic.

mod answer;
mod band;
mod cause;
mod channel;
mod command;
mod error;
mod frequency;
mod guess;
mod identity;
mod index;
mod mask;
mod status;
mod values;

pub use answer::{Answer, Found, Problem};
pub use band::band;
pub use cause::cause;
pub use channel::{arfcn, channel};
pub use command::{command, timer};
pub use error::error;
pub use frequency::frequency;
pub use guess::guess;
pub use identity::{country, file, iccid, imei, imsi, plmn, plmn_bytes};
pub use index::{index, level};
pub use mask::mask;
pub use status::status;
