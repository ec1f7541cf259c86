//! What a log says of a site: availability by day, outages by cause, how often and how long, levels before an outage.
//!
//! | file | owns |
//! | --- | --- |
//! | `read` | the files of logs, line by line |
//! | `gather` | lines in order to time that was well, out, or not known, and to outages |
//! | `figures` | the figures that text and page share |
//! | `text`, `page` | the writers |

mod figures;
mod gather;
mod page;
mod read;
mod text;

pub use gather::{Day, Outage, Site};
pub use page::page;
pub use read::{ReadError, read_all};
pub use text::text;
