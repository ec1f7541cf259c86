//! Acceptance of a site: criteria, the samples and the capture that are held against them, a record.

mod attach;
mod criteria;
mod dialogue;
mod judge;
mod page;
mod record;
mod spots;
mod visit;

pub use criteria::{Criteria, Level, Measure};
pub use judge::{Figure, Measured, Outcome, judge};
pub use page::{html, markdown};
pub use record::{Record, Site, record};
pub use visit::{Watch, begin_anew_by_name, identify};
