//! Rows as Parquet: one row a record, zstd, read by any program that reads Parquet.
//!
//! The schema below is a contract. The key `mastside.triage.format` of the file's metadata is its version; it grows
//! only when a column changes its meaning. Columns may be added. `day` is the day of `at`, for partitions.

use super::attributes::NAMES;
use super::row::{FORMAT, Row, RowEvidence};
use super::rows::RowsError;
use crate::columnar::{Columns, Rows};
use chrono::{DateTime, SecondsFormat};
use parquet::data_type::{BoolType, ByteArray, ByteArrayType, DoubleType, Int32Type, Int64Type};
use parquet::errors::Result;
use parquet::file::reader::{FileReader, SerializedFileReader};
use parquet::record::Field;
use std::fs::File;
use std::io::Write;
use std::path::Path;

/// The columns, in the words of Parquet's own schema language.
pub const SCHEMA: &str = include_str!("parquet.schema");

/// The key of the version in the file's metadata.
const VERSION_KEY: &str = "mastside.triage.format";

/// A Parquet file that grows row by row.
pub struct ParquetRows<W: Write + Send>(Rows<W, Row>);

impl<W: Write + Send> ParquetRows<W> {
    /// Begins a file.
    ///
    /// # Errors
    ///
    /// What the system says.
    pub fn begin(out: W) -> Result<Self> {
        Rows::begin(out, SCHEMA, (VERSION_KEY, FORMAT.to_string()), columns).map(Self)
    }

    /// Adds a row.
    ///
    /// # Errors
    ///
    /// What the system says.
    pub fn push(&mut self, row: Row) -> Result<()> {
        self.0.push(row)
    }

    /// Writes what is left, and the end of the file.
    ///
    /// # Errors
    ///
    /// What the system says.
    pub fn end(self) -> Result<()> {
        self.0.end()
    }
}

/// Writes the columns, in the order of the schema.
fn columns<W: Write + Send>(out: &mut Columns<'_, '_, W, Row>) -> Result<()> {
    out.text(Row::site_name)?;
    out.optional::<Int64Type>(|row| row.time().map(|at| at.timestamp_micros()))?;
    out.optional::<Int32Type>(|row| {
        row.time().and_then(|at| i32::try_from(at.timestamp().div_euclid(86_400)).ok())
    })?;
    out.text(|row| row.finding.clone())?;
    out.text(|row| row.kind_of.clone())?;
    out.text(|row| row.certainty.clone())?;
    out.text(|row| row.acts.clone())?;
    out.text(|row| row.summary.clone())?;
    out.text(|row| row.error.clone())?;
    out.required::<BoolType>(|row| row.unreachable)?;
    out.optional::<Int32Type>(|row| {
        row.evidence.as_ref().map(|e| i32::try_from(e.line).unwrap_or(i32::MAX))
    })?;
    out.text(|row| row.evidence.as_ref().map(|e| e.text.clone()))?;
    out.text(|row| row.evidence.as_ref().map(|e| e.says.clone()))?;
    for name in NAMES {
        out.text(|row| row.attributes.get(name).cloned())?;
    }
    out.optional::<DoubleType>(|row| row.latitude)?;
    out.optional::<DoubleType>(|row| row.longitude)?;
    out.list::<ByteArrayType>(|row| row.levels.keys().map(|k| bytes(k)).collect())?;
    out.list::<DoubleType>(|row| row.levels.values().copied().collect())?;
    out.list::<ByteArrayType>(|row| tags(row).map(|(name, _)| bytes(name)).collect())?;
    out.list::<ByteArrayType>(|row| tags(row).map(|(_, word)| bytes(word)).collect())
}

fn bytes(text: &str) -> ByteArray {
    ByteArray::from(text.as_bytes().to_vec())
}

/// The attributes that have no column of their own.
fn tags(row: &Row) -> impl Iterator<Item = (&str, &str)> {
    let all = row.attributes.iter().map(|(name, word)| (name.as_str(), word.as_str()));
    all.filter(|(name, _)| !NAMES.contains(name))
}

/// Reads the rows of a file.
pub(super) fn read(path: &Path, take: &mut impl FnMut(Row)) -> std::result::Result<(), RowsError> {
    let fail = |problem: String| RowsError::Unreadable { path: path.into(), problem };
    let file = File::open(path).map_err(|e| fail(e.to_string()))?;
    let reader = SerializedFileReader::new(file).map_err(|e| fail(e.to_string()))?;
    let pairs = reader.metadata().file_metadata().key_value_metadata().into_iter().flatten();
    let version =
        pairs.filter(|p| p.key == VERSION_KEY).find_map(|p| p.value.as_ref()?.parse::<u8>().ok());
    if let Some(found) = version.filter(|v| *v > FORMAT) {
        return Err(RowsError::Newer { path: path.into(), found });
    }
    for row in reader.get_row_iter(None).map_err(|e| fail(e.to_string()))? {
        let read = row.map_err(|e| fail(e.to_string()))?;
        let mut row = Row { format: FORMAT, ..Row::default() };
        read.get_column_iter().for_each(|(name, field)| set(&mut row, name, field));
        take(row);
    }
    Ok(())
}

/// Takes one column of a row; columns that this program does not know are left out.
fn set(row: &mut Row, name: &str, field: &Field) {
    let text = || word(field);
    match name {
        "site" => row.site = text().into(),
        "at" => {
            let at = match field {
                Field::TimestampMicros(us) => DateTime::from_timestamp_micros(*us),
                Field::TimestampMillis(ms) => DateTime::from_timestamp_millis(*ms),
                _ => None,
            };
            row.at = at.map(|at| at.to_rfc3339_opts(SecondsFormat::AutoSi, true)).into();
        }
        "finding" => row.finding = text(),
        "kind_of" => row.kind_of = text(),
        "certainty" => row.certainty = text(),
        "acts" => row.acts = text(),
        "summary" => row.summary = text(),
        "error" => row.error = text(),
        "unreachable" => row.unreachable = *field == Field::Bool(true),
        "latitude" => row.latitude = number(field),
        "longitude" => row.longitude = number(field),
        "evidence" => {
            if let Field::Group(group) = field {
                let mut evidence = RowEvidence::default();
                for (name, field) in group.get_column_iter() {
                    match (name.as_str(), field) {
                        ("line", Field::Int(line)) => {
                            evidence.line = usize::try_from(*line).unwrap_or(0)
                        }
                        ("text", _) => evidence.text = word(field).unwrap_or_default(),
                        ("says", _) => evidence.says = word(field).unwrap_or_default(),
                        _ => {}
                    }
                }
                row.evidence = Some(evidence);
            }
        }
        "levels" => row.levels.extend(
            entries(field).iter().filter_map(|(name, value)| Some((word(name)?, number(value)?))),
        ),
        "tags" => row.attributes.extend(
            entries(field).iter().filter_map(|(name, value)| Some((word(name)?, word(value)?))),
        ),
        column => {
            let name = column.replace('_', "-");
            if let Some(word) = text().filter(|_| NAMES.contains(&name.as_str())) {
                row.attributes.insert(name, word);
            }
        }
    }
}

fn entries(field: &Field) -> &[(Field, Field)] {
    match field {
        Field::MapInternal(map) => map.entries(),
        _ => &[],
    }
}

fn word(field: &Field) -> Option<String> {
    match field {
        Field::Str(text) => Some(text.clone()),
        _ => None,
    }
}

fn number(field: &Field) -> Option<f64> {
    match field {
        Field::Double(number) => Some(*number),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::columnar::GROUP;

    #[test]
    fn what_is_written_is_read_back() {
        let mut full = Row {
            site: "weir".into(),
            at: "2026-05-04T06:00:00Z".into(),
            finding: Some("registration/forbidden-scan".into()),
            kind_of: Some("registration/network".into()),
            certainty: Some("likely".into()),
            acts: Some("carrier".into()),
            summary: Some("Every network is forbidden.".into()),
            evidence: Some(RowEvidence {
                line: 4,
                text: "+COPS: (3".into(),
                says: "forbidden".into(),
            }),
            latitude: Some(-48.2),
            longitude: Some(-12.4),
            format: FORMAT,
            ..Row::default()
        };
        for name in NAMES {
            full.attributes.insert(name.into(), format!("a {name}"));
        }
        full.attributes.insert("tag:depot".into(), "north".into());
        full.attributes.insert("tag:mains".into(), "yes".into());
        full.levels.extend([("rsrp_dbm".to_owned(), -98.5), ("sinr_db".to_owned(), 3.0)]);
        let empty =
            Row { error: Some("the line is empty".into()), format: FORMAT, ..Row::default() };
        let silent = Row { unreachable: true, ..empty.clone() };
        let rows: Vec<Row> = [full, empty, silent].into_iter().cycle().take(GROUP + 5).collect();
        let file = tempfile::NamedTempFile::new().unwrap();
        let mut out = ParquetRows::begin(File::create(file.path()).unwrap()).unwrap();
        rows.iter().try_for_each(|row| out.push(row.clone())).unwrap();
        out.end().unwrap();
        let mut back = Vec::new();
        super::super::rows::read(&[file.path().into()], |row| back.push(row)).unwrap();
        assert!(back == rows, "{:?}\n{:?}", back.first(), rows.first());
    }
}
