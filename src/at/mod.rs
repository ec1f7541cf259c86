//! The AT client: one command at a time, its time-outs, unsolicited codes, and what may be sent.

mod client;
mod knocks;
mod line;
mod permit;
mod response;
mod secret;
mod synchronise;
mod time_out;
mod volatile;
mod wake;

pub use client::{Client, ClientError, Notice};
pub use permit::is_read;
pub(crate) use permit::is_volatile;
pub(crate) use response::is_start;
pub use response::{CommandResponse, ResultCode};
pub use time_out::GONE_FOR_GOOD;
