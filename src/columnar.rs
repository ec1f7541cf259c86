//! Rows as Parquet: a file that grows group by group, column by column, so that memory does not grow with its rows.

use parquet::basic::{Compression, ZstdLevel};
use parquet::data_type::{ByteArray, ByteArrayType, DataType};
use parquet::errors::{ParquetError, Result};
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::{SerializedFileWriter, SerializedRowGroupWriter};
use parquet::schema::parser::parse_message_type;
use std::io::Write;
use std::sync::Arc;

/// So many rows are gathered before they are written.
pub(crate) const GROUP: usize = 16_384;

/// Writes the columns of a group, in the order of the schema.
type WriteColumns<W, R> = fn(&mut Columns<'_, '_, W, R>) -> Result<()>;

/// A Parquet file (zstd) that grows row by row.
pub(crate) struct Rows<W: Write + Send, R> {
    file: SerializedFileWriter<W>,
    rows: Vec<R>,
    columns: WriteColumns<W, R>,
}

impl<W: Write + Send, R> Rows<W, R> {
    /// Begins a file with this schema and with the version of its meaning under a key of its own.
    pub(crate) fn begin(
        out: W,
        schema: &str,
        version: (&str, String),
        columns: WriteColumns<W, R>,
    ) -> Result<Self> {
        let properties = WriterProperties::builder()
            .set_compression(Compression::ZSTD(ZstdLevel::default()))
            .set_created_by(concat!("mastside ", env!("CARGO_PKG_VERSION")).into())
            .set_key_value_metadata(Some(vec![KeyValue::new(version.0.into(), version.1)]))
            .build();
        let schema = Arc::new(parse_message_type(schema)?);
        let file = SerializedFileWriter::new(out, schema, Arc::new(properties))?;
        Ok(Self { file, rows: Vec::new(), columns })
    }

    /// Adds a row.
    pub(crate) fn push(&mut self, row: R) -> Result<()> {
        self.rows.push(row);
        if self.rows.len() >= GROUP { self.flush() } else { Ok(()) }
    }

    /// Writes what is left, and the end of the file.
    pub(crate) fn end(mut self) -> Result<()> {
        self.flush()?;
        self.file.close().map(|_| ())
    }

    fn flush(&mut self) -> Result<()> {
        if self.rows.is_empty() {
            return Ok(());
        }
        let mut group = self.file.next_row_group()?;
        (self.columns)(&mut Columns { group: &mut group, rows: &self.rows })?;
        self.rows.clear();
        group.close().map(|_| ())
    }
}

/// The columns of one row group, written one after the other.
pub(crate) struct Columns<'g, 'w, W: Write + Send, R> {
    group: &'g mut SerializedRowGroupWriter<'w, W>,
    rows: &'g [R],
}

impl<W: Write + Send, R> Columns<'_, '_, W, R> {
    fn write<T: DataType>(
        &mut self,
        values: &[T::T],
        levels: Option<(&[i16], Option<&[i16]>)>,
    ) -> Result<()> {
        let column = self.group.next_column()?;
        let mut column =
            column.ok_or_else(|| ParquetError::General("the schema has fewer columns".into()))?;
        let (defined, repeated) = levels.unzip();
        column.typed::<T>().write_batch(values, defined, repeated.flatten())?;
        column.close()
    }

    /// A column with a value in every row.
    pub(crate) fn required<T: DataType>(&mut self, value: impl Fn(&R) -> T::T) -> Result<()> {
        let values: Vec<T::T> = self.rows.iter().map(value).collect();
        self.write::<T>(&values, None)
    }

    /// A column whose value may be missing.
    pub(crate) fn optional<T: DataType>(
        &mut self,
        value: impl Fn(&R) -> Option<T::T>,
    ) -> Result<()> {
        let all: Vec<Option<T::T>> = self.rows.iter().map(value).collect();
        let defined: Vec<i16> = all.iter().map(|v| i16::from(v.is_some())).collect();
        let values: Vec<T::T> = all.into_iter().flatten().collect();
        self.write::<T>(&values, Some((&defined, None)))
    }

    /// A column of texts that may be missing.
    pub(crate) fn text(&mut self, value: impl Fn(&R) -> Option<String>) -> Result<()> {
        self.optional::<ByteArrayType>(|row| {
            value(row).map(|text| ByteArray::from(text.into_bytes()))
        })
    }

    /// The members of a list that is there for every row, and may be empty.
    pub(crate) fn list<T: DataType>(&mut self, members: impl Fn(&R) -> Vec<T::T>) -> Result<()> {
        let (mut values, mut defined, mut repeated) = (Vec::new(), Vec::new(), Vec::new());
        for row in self.rows {
            let mut members = members(row);
            let count = members.len();
            defined.extend(std::iter::repeat_n(i16::from(count > 0), count.max(1)));
            repeated.extend((0..count.max(1)).map(|n| i16::from(n > 0)));
            values.append(&mut members);
        }
        self.write::<T>(&values, Some((&defined, Some(&repeated))))
    }
}
