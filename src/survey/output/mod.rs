//! A survey on its way out: tables for people, CSV, GeoJSON and GPX for other programs, one page.

mod csv;
mod geojson;
mod gpx;
mod page;
mod table;

pub use csv::{cell_text, csv};
pub use geojson::geojson;
pub use gpx::gpx;
pub use page::page;
pub use table::table;
