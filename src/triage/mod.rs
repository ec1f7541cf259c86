//! Many captures at once: one row a record, in the order of the input, from all cores and in flat memory; and the
//! overview of a fleet, worst first.
//!
//! ```text
//! lines, files, folders ──► jobs, in blocks ──► rows (all cores, order kept) ──► JSON Lines, Parquet
//!                                                └► fleet (latest record of each site) ──► overview ──► text, CSV, page
//!                                                             groups · what they share · changes · apart
//! ```

pub mod attributes;
mod change;
mod csv;
mod fleet;
mod group;
mod json;
mod judge;
mod overview;
mod page;
#[cfg(feature = "parquet")]
mod parquet;
mod positions;
mod record;
mod row;
pub mod rows;
mod run;
mod share;
pub mod source;
mod survey;
mod text;
mod words;

pub use change::{Change, change};
pub use csv::csv;
pub use fleet::{Fleet, Site, State};
pub use group::{Group, groups};
pub use json::json;
pub use judge::Judge;
pub use overview::Overview;
pub use page::page;
#[cfg(feature = "parquet")]
pub use parquet::{ParquetRows, SCHEMA};
pub use positions::positions;
pub use record::{Place, Record, Unusable};
pub use row::{FORMAT, Row, RowEvidence};
pub use run::{Ended, Progress, run};
pub use share::{LEAST, Shared, Trait, shared, trait_words};
pub use text::text;
pub use words::Word;
