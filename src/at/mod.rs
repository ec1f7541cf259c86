//! The AT client: one command at a time, its time-out, unsolicited codes, and what may be sent.

mod answer;
mod client;
mod permit;

pub use answer::{Answer, End};
pub use client::{Client, ClientError};
pub use permit::{is_read, patience};
