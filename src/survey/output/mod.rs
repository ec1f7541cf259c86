//! Surveys as tables for people, CSV, GeoJSON and GPX for other programs, and one page.

mod csv;
mod figures;
mod geojson;
mod gpx;
mod page;
#[cfg(feature = "parquet")]
mod parquet;
mod samples;
mod table;
mod trend;

pub use csv::csv;
pub use geojson::geojson;
pub use gpx::gpx;
pub use page::page;
#[cfg(feature = "parquet")]
pub use parquet::{SCHEMA as SAMPLES_SCHEMA, SampleRows};
pub use samples::SampleTable;
pub use table::table;
pub use trend::{Trend, trends, trends_text};

/// Said beside whatever comes from a simulated place.
pub const SIMULATED: &str =
    "SIMULATED: these samples come from a simulated place, not from a modem";

/// Said where levels may have come as an index that the file does not have.
pub(crate) const NO_INDICES: &str = "This file has no indices beside its levels: where the modem gave an index, levels lie up to half a step (0.5 dB) low.";

/// Text for a field that no spreadsheet takes for a formula: text that begins as one gets an apostrophe. Numbers
/// stay numbers.
pub(crate) fn field(text: &str) -> String {
    let number = text.parse::<f64>().is_ok();
    let formula = !number && text.trim_start().starts_with(['=', '+', '-', '@', '|', '%']);
    let shown: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    if formula { format!("'{shown}") } else { shown }
}

/// Rows as CSV (RFC 4180) with the header of their keys.
pub(crate) fn rows_as_csv<R: serde::Serialize>(rows: impl IntoIterator<Item = R>) -> String {
    let mut writer =
        ::csv::WriterBuilder::new().terminator(::csv::Terminator::CRLF).from_writer(Vec::new());
    for row in rows {
        // Only numbers, text and nothing stand in the rows, and a vector takes everything.
        writer.serialize(row).expect("rows of plain fields are written to memory");
    }
    let bytes = writer.into_inner().expect("a vector is flushed");
    String::from_utf8(bytes).expect("fields are text")
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn no_field_begins_a_formula_and_numbers_stay() {
        assert_eq!(field("=1+1"), "'=1+1");
        assert_eq!(field("@cmd"), "'@cmd");
        assert_eq!(field("-93.5"), "-93.5");
        assert_eq!(field("00101"), "00101");
    }

    #[derive(serde::Serialize, serde::Deserialize)]
    struct One {
        name: String,
        level: Option<f64>,
    }

    proptest! {
        #[test]
        fn any_name_is_read_back_and_begins_no_formula(name in "\\PC{0,40}") {
            let text = rows_as_csv([One { name: field(&name), level: None }]);
            let mut reader = ::csv::Reader::from_reader(text.as_bytes());
            let read: One = reader.deserialize().next().unwrap().unwrap();
            prop_assert_eq!(&read.name, &field(&name));
            prop_assert!(!read.name.trim_start().starts_with(['=', '+', '@']) || read.name.parse::<f64>().is_ok());
        }
    }
}
