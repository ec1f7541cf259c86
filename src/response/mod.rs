//! What replies mean: tables of families, and a file for each that needs code, all yielding the same facts.
//!
//! A family reads one response at a time and says what it understood as [`Fact`](crate::case::Fact)s. It knows no rule
//! and keeps no state; which reply is the latest, and what follows from it, is decided later.

mod bands;
pub(crate) mod boundary;
mod causes;
mod columns;
mod declaration;
mod fact_writer;
mod fields;
pub(crate) mod grammar;
mod names;
pub(crate) mod outcome;
mod prefixes;
mod request;
#[cfg(test)]
mod sample;
mod scale;
mod sessions;
mod silent;
pub(crate) mod standard;
mod table;
pub(crate) mod vendor;

pub use declaration::{ContinuationLine, Family, Form, Read, Response};
pub(crate) use fields::fields_into;
pub use fields::{Field, Fields, fields};
pub use grammar::FieldError;
pub use prefixes::{TooLate, add_families, families, family};
pub(crate) use request::Request;
pub(crate) use silent::says_nothing;
pub use vendor::{COMMAND_SETS, VendorCommandSet, command_set};
