//! Many captures at once: one row a record, in the order of the input, from all cores and in flat memory.
//!
//! ```text
//! lines, files, folders ──► jobs, in blocks ──► rows (all cores, order kept) ──► JSON Lines
//! ```

pub mod attributes;
mod judge;
mod record;
mod row;
pub mod source;

pub use judge::Judge;
pub use record::{Place, Record, Unusable};
pub use row::{FORMAT, Row, RowEvidence};
pub use run::{Ended, Progress, run};

mod run;
