//! Explains why a cellular modem that sees its SIM will not attach.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

#[macro_use]
mod by_byte;

pub mod align;
pub mod capture;
pub mod carrier;
pub mod case;
pub mod cli;
pub mod commission;
pub mod compare;
pub mod identity;
pub mod lookup;
pub mod modem;
pub mod plot;
pub mod port;
pub mod reference;
pub mod rehearsal;
pub mod reply;
pub mod report;
pub mod rules;
pub mod span;
pub mod survey;
pub mod units;
pub mod verdict;
