//! What people, hosts and kernels write in plain words, read as facts.
//!
//! ```text
//! line ─► voice (person, host, kernel)
//!      ├─► key and value ─► subject ─┐
//!      ├─► phrase of the vocabulary ─┼─► polarity: is it stated of this modem now? ─► meaning ─► facts
//!      ├─► number behind "cause" ────┘
//!      └─► complaints, names, levels, bands, traffic, kernel lines ─► facts
//! ```
//!
//! The vocabulary is `band-tables/status-words.csv`. What a person writes never makes a cause certain
//! (`case::ReportedBy`).

mod bands;
mod causes;
mod chat;
mod complaints;
mod events;
mod kernel;
mod key_value;
mod levels;
mod link;
mod meaning;
mod measures;
mod names;
mod page;
mod phrase;
mod polarity;
mod port;
mod profiles;
mod quoted;
mod reader;
mod statement;
mod subject;
mod traffic;
mod voice;

pub(crate) use polarity::states_response;
pub(crate) use reader::{FreeText, is_silence};
