//! Every sample as one row of a Parquet file, in the columns of the CSV of samples.
//!
//! The schema is a contract. The key `mastside.samples.format` of the file's metadata is its version; it grows only
//! when a column changes its meaning. Columns may be added. `day` is the day of `at`, for partitions.

use crate::columnar::{Columns, Rows};
use crate::survey::reading::is_registered;
use crate::survey::sample::{Head, Sample};
use parquet::data_type::{BoolType, ByteArray, ByteArrayType, DoubleType, Int32Type, Int64Type};
use parquet::errors::Result;
use std::io::{self, Write};

/// The columns, in the words of Parquet's own schema language.
pub const SCHEMA: &str = include_str!("samples.schema");

/// The version of the meaning of the columns.
const FORMAT: u8 = 1;

struct Row {
    site: String,
    simulated: bool,
    sample: Sample,
}

/// The file while it is written.
pub struct SampleRows<W: Write + Send>(Rows<W, Row>);

impl<W: Write + Send> SampleRows<W> {
    /// Begins a file.
    ///
    /// # Errors
    ///
    /// What the output says.
    pub fn new(out: W) -> io::Result<Self> {
        let version = ("mastside.samples.format", FORMAT.to_string());
        Rows::begin(out, SCHEMA, version, columns).map(Self).map_err(io::Error::other)
    }

    /// Writes one sample.
    ///
    /// # Errors
    ///
    /// What the output says.
    pub fn write(&mut self, site: &str, head: &Head, sample: &Sample) -> io::Result<()> {
        let simulated = head.rehearsal;
        let row = Row { site: site.to_owned(), simulated, sample: sample.clone() };
        self.0.push(row).map_err(io::Error::other)
    }

    /// Writes what is left.
    ///
    /// # Errors
    ///
    /// What the output says.
    pub fn finish(self) -> io::Result<()> {
        self.0.end().map_err(io::Error::other)
    }
}

/// Writes the columns, in the order of the schema.
fn columns<W: Write + Send>(out: &mut Columns<'_, '_, W, Row>) -> Result<()> {
    let bytes = |text: &str| ByteArray::from(text.as_bytes().to_vec());
    let whole = |number: u64| i64::try_from(number).unwrap_or(i64::MAX);
    let place = |row: &Row| row.sample.position;
    out.required::<ByteArrayType>(|row| bytes(&row.site))?;
    out.required::<Int64Type>(|row| whole(row.sample.number))?;
    out.required::<Int64Type>(|row| row.sample.at.timestamp_millis())?;
    out.required::<Int32Type>(|row| {
        let day = row.sample.at.timestamp().div_euclid(86_400);
        i32::try_from(day).unwrap_or(i32::MAX)
    })?;
    out.required::<Int32Type>(|row| i32::try_from(row.sample.pass).unwrap_or(i32::MAX))?;
    out.required::<ByteArrayType>(|row| bytes(&row.sample.spot))?;
    out.optional::<DoubleType>(|row| place(row).map(|p| p.latitude))?;
    out.optional::<DoubleType>(|row| place(row).map(|p| p.longitude))?;
    out.optional::<DoubleType>(|row| place(row).and_then(|p| p.altitude_m))?;
    out.optional::<DoubleType>(|row| place(row).and_then(|p| p.accuracy_m))?;
    out.optional::<DoubleType>(|row| row.sample.heading_deg)?;
    out.required::<ByteArrayType>(|row| bytes(&row.sample.cell.technology))?;
    out.required::<ByteArrayType>(|row| bytes(&row.sample.cell.plmn))?;
    out.required::<ByteArrayType>(|row| bytes(&row.sample.cell.tac_hex))?;
    out.optional::<Int32Type>(|row| row.sample.cell.band.and_then(|n| i32::try_from(n).ok()))?;
    out.optional::<Int64Type>(|row| row.sample.cell.channel.map(i64::from))?;
    out.optional::<Int64Type>(|row| row.sample.cell.pci.map(i64::from))?;
    out.optional::<Int64Type>(|row| row.sample.cell.cell_id.map(whole))?;
    out.optional::<DoubleType>(|row| row.sample.levels.rsrp_dbm)?;
    out.optional::<Int32Type>(|row| row.sample.levels.rsrp_index.map(i32::from))?;
    out.optional::<DoubleType>(|row| row.sample.levels.rsrq_db)?;
    out.optional::<Int32Type>(|row| row.sample.levels.rsrq_index.map(i32::from))?;
    out.optional::<DoubleType>(|row| row.sample.levels.sinr_db)?;
    out.optional::<DoubleType>(|row| row.sample.levels.rssi_dbm)?;
    out.optional::<Int32Type>(|row| row.sample.registration.map(i32::from))?;
    out.optional::<BoolType>(|row| row.sample.registration.map(is_registered))?;
    out.optional::<DoubleType>(|row| row.sample.bandwidth_mhz)?;
    out.required::<Int64Type>(|row| i64::from(row.sample.took_ms))?;
    out.required::<BoolType>(|row| row.simulated)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::sample::tests_sample;
    use parquet::file::reader::{FileReader, SerializedFileReader};

    #[test]
    fn every_sample_is_read_back_in_its_columns() {
        let mut file = tempfile::tempfile().unwrap();
        let mut rows = SampleRows::new(file.try_clone().unwrap()).unwrap();
        let head = Head { rehearsal: true, ..Head::default() };
        for number in 1..=3 {
            rows.write("weir", &head, &tests_sample(number)).unwrap();
        }
        rows.finish().unwrap();
        io::Seek::rewind(&mut file).unwrap();
        let reader = SerializedFileReader::new(file).unwrap();
        let rows: Vec<_> = reader.get_row_iter(None).unwrap().map(|row| row.unwrap()).collect();
        assert_eq!(rows.len(), 3);
        let last = rows[2].to_string();
        for part in [
            "site: \"weir\"",
            "number: 3",
            "rsrp_dbm: -9.8E1",
            "pci: 12",
            "registered: true",
            "sinr_db: null",
            "simulated: true",
        ] {
            assert!(last.contains(part), "{part} in {last}");
        }
    }
}
