//! Explains why a cellular modem that sees its SIM will not attach.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod align;
pub mod at;
pub mod capture;
pub mod carrier;
pub mod case;
pub mod caution;
pub mod cli;
pub mod commission;
pub mod compare;
pub mod desk;
pub mod explanation;
pub mod free_text;
pub mod identity;
pub mod live;
pub mod lookup;
pub mod plot;
pub mod port;
pub mod random;
pub mod reading;
pub mod redact;
pub mod reference;
pub mod response;
pub mod rules;
pub mod sanitize;
pub mod simulator;
pub mod span;
pub mod statistics;
pub mod survey;
pub mod triage;
pub mod verdict;
