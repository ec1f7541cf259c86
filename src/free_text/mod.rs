//! What people, hosts and kernels write in plain words, read as facts.
//!
//! ```text
//! line ─► voice (person, host, kernel)
//!      ├─► key and value ─► subject ─┐
//!      ├─► phrase of the vocabulary ─┼─► polarity: is it stated of this modem now? ─► meaning ─► facts
//!      ├─► number behind "cause" ────┘
//!      ├─► events of a log: noun and new state ─► facts
//!      ├─► labels with numbers, tables with a header, settings ─► facts
//!      └─► complaints, names, bands, traffic, kernel lines ─► facts
//! ```
//!
//! `scope` says of what a part of the text speaks: of this modem now, of what is heard at the place, of what was, of
//! what may come.
//!
//! The vocabulary is `band-tables/status-words.csv`. What a person writes never makes a cause certain
//! (`case::ReportedBy`).

mod bands;
mod card;
mod causes;
mod chat;
mod columns;
mod complaints;
mod events;
mod heard;
mod interface;
mod kernel;
mod key_value;
mod labels;
mod lease;
mod link;
mod meaning;
mod names;
mod network_code;
mod page;
mod phrase;
mod polarity;
mod port;
mod profiles;
mod quoted;
mod reader;
mod readings;
mod rfkill;
mod scope;
mod settings;
mod statement;
mod subject;
mod traffic;
mod values;
mod voice;
mod words;

#[cfg(test)]
mod tests;

pub(crate) use polarity::states_response;
pub(crate) use reader::{FreeText, is_silence};
