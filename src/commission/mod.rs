//! Acceptance of a site: criteria, the samples and the capture that are held against them, a record.

mod attach;
mod criteria;
mod page;
mod record;

pub use criteria::{Criteria, Measured, Outcome, judge};
pub use page::{html, markdown};
pub use record::{Record, Site, record};
