//! Tickets: a folder a customer, with the texts in order and the verdict after each, as plain files.
//!
//! ```text
//! T-1042/ticket.toml       number, site, date, carrier, notes: yours to edit
//! T-1042/text-01.txt       what came first; redacted, unless the originals are kept
//! T-1042/verdict-01.toml   the verdict after it, what was asked, what was settled
//! T-1042/closing.toml      what it was in the end; not there while the ticket is open
//! ```
//!
//! Every file but the first is written once and whole, under a name that no other file has, so that a crash leaves at
//! most a text without its verdict, which the next opening judges. No identity stands in what the program writes,
//! texts with their originals kept excepted.

mod alike;
mod error;
mod file;
mod folder;
mod forms;
mod history;
mod list;
mod progress;

pub use alike::{Alike, Traits, alike, experience};
pub use error::TicketError;
pub use folder::{Text, Ticket, is_name, kept};
pub use forms::{Closing, Head, Step};
pub use history::{Seen, again, history};
pub use list::{Listing, listing};
pub use progress::{Progress, Settled};

#[cfg(test)]
mod tests;
