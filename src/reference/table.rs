//! How a table file is read: comma-separated rows under a header, and errors that name the place.
//!
//! ```text
//! # comment, anywhere on a line of its own
//! band,duplex,note
//! 1,FDD,"a field with, commas and ""quotes"""
//! ```

use csv::{ReaderBuilder, StringRecord};
use serde::de::{Error as _, Visitor};
use serde::{Deserialize, Deserializer};
use std::collections::BTreeMap;
use std::fmt;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, Ordering};

/// What is wrong with a table file, and where.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TableError {
    /// The file, as it was named.
    pub file: String,
    /// The line, from 1; 0 where the file as a whole is meant.
    pub line: u64,
    /// The column by its name in the header; empty where the row as a whole is meant.
    pub key: String,
    /// What is wrong and what would be right.
    pub problem: String,
}

impl TableError {
    /// An error of a file as a whole.
    pub(crate) fn of_file(file: impl Into<String>, problem: impl Into<String>) -> Self {
        Self { file: file.into(), line: 0, key: String::new(), problem: problem.into() }
    }
}

impl fmt::Display for TableError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file)?;
        if self.line > 0 {
            write!(f, ", line {}", self.line)?;
        }
        if !self.key.is_empty() {
            write!(f, ", key `{}`", self.key)?;
        }
        write!(f, ": {}", self.problem)
    }
}

impl std::error::Error for TableError {}

/// Where a row comes from, and how sure it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Source {
    /// The clause.
    pub clause: &'static str,
    /// Whether two independent places or more agree on it.
    pub verified: bool,
    /// The places in which it was read.
    pub read_in: &'static str,
    /// A remark; empty for none.
    pub note: &'static str,
}

impl Source {
    /// From the columns `clause`, `standing`, `read_in` and `note`.
    pub(crate) fn new(
        clause: &'static str,
        standing: Standing,
        read_in: &'static str,
        note: &'static str,
    ) -> Self {
        Self { clause, verified: standing.is_verified(), read_in, note }
    }
}

/// The column `standing`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Standing {
    /// Two independent places or more agree.
    Verified,
    /// Read in one place, or from memory.
    Unverified,
}

impl Standing {
    /// Whether two independent places or more agree.
    pub(crate) fn is_verified(self) -> bool {
        self == Self::Verified
    }
}

/// Reads a text that must not be empty (`#[serde(deserialize_with = "filled")]`).
pub(crate) fn filled<'de: 'static, D: Deserializer<'de>>(
    column: D,
) -> Result<&'static str, D::Error> {
    match <&'static str>::deserialize(column)? {
        "" => Err(D::Error::custom("must not be empty")),
        text => Ok(text),
    }
}

/// The place of a row.
#[derive(Clone, Copy)]
pub(crate) struct Place<'f> {
    file: &'f str,
    line: u64,
}

impl Place<'_> {
    /// An error at a column of this row; an empty column means the row as a whole.
    pub(crate) fn error(self, column: &str, problem: impl Into<String>) -> TableError {
        TableError {
            file: self.file.to_owned(),
            line: self.line,
            key: column.to_owned(),
            problem: problem.into(),
        }
    }
}

/// The text of a table file.
pub(crate) struct Sheet<'f> {
    file: &'f str,
    text: &'static str,
}

impl<'f> Sheet<'f> {
    pub(crate) fn new(file: &'f str, text: &'static str) -> Self {
        Self { file, text }
    }

    /// Reads every row into `R`, and each of these into what the table holds.
    pub(crate) fn rows<R: Deserialize<'static>, T>(
        &self,
        mut read: impl FnMut(R, Place<'f>) -> Result<T, TableError>,
    ) -> Result<Vec<T>, TableError> {
        let mut reader = ReaderBuilder::new().comment(Some(b'#')).from_reader(self.text.as_bytes());
        let header = reader.headers().map_err(|error| self.csv_error(&error))?.clone();
        if header.is_empty() {
            return Err(TableError::of_file(self.file, "the file has no header line"));
        }
        // A table lives as long as the program; its texts are parts of its records.
        let header: &'static StringRecord = Box::leak(Box::new(header));
        // A header in the order of the row's own fields need not be searched for each of them.
        let named = if *header == fields::<R>() { None } else { Some(header) };
        let mut rows = Vec::new();
        for record in reader.into_records() {
            let record: &'static StringRecord =
                Box::leak(Box::new(record.map_err(|error| self.csv_error(&error))?));
            let line = record.position().map_or(0, csv::Position::line);
            let place = Place { file: self.file, line };
            if record.as_slice().contains('\n')
                && let Some(at) = record.iter().position(|field| field.contains('\n'))
            {
                return Err(place.error(&header[at], "a quoted field is never closed"));
            }
            let row = record.deserialize(named).map_err(|error| match error.kind() {
                csv::ErrorKind::Deserialize { err, .. } => of_field(place, err, header, record),
                _ => place.error("", error.to_string()),
            })?;
            rows.push(read(row, place)?);
        }
        if rows.is_empty() {
            return Err(TableError::of_file(self.file, "the file has no row below its header"));
        }
        Ok(rows)
    }

    fn csv_error(&self, error: &csv::Error) -> TableError {
        let line = error.position().map_or(0, csv::Position::line);
        let place = Place { file: self.file, line };
        match error.kind() {
            csv::ErrorKind::UnequalLengths { expected_len, len, .. } => {
                place.error("", format!("{len} fields, the header has {expected_len}"))
            }
            _ => place.error("", error.to_string()),
        }
    }
}

/// The names of the fields of a row, in their order.
fn fields<R: Deserialize<'static>>() -> StringRecord {
    /// Takes the names that a struct asks for, and gives it nothing.
    struct Names<'n>(&'n mut &'static [&'static str]);

    impl<'de> Deserializer<'de> for Names<'_> {
        type Error = serde::de::value::Error;

        fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Self::Error> {
            Err(Self::Error::custom("only the names are wanted"))
        }

        fn deserialize_struct<V: Visitor<'de>>(
            self,
            _: &'static str,
            fields: &'static [&'static str],
            visitor: V,
        ) -> Result<V::Value, Self::Error> {
            *self.0 = fields;
            self.deserialize_any(visitor)
        }

        serde::forward_to_deserialize_any! {
            bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit
            unit_struct newtype_struct seq tuple tuple_struct map enum identifier ignored_any
        }
    }

    let mut names: &'static [&'static str] = &[];
    // Nothing is given, so there is no row.
    let _ = R::deserialize(Names(&mut names));
    StringRecord::from(names.to_vec())
}

/// The error of a field that does not have the type of its column.
fn of_field(
    place: Place<'_>,
    error: &csv::DeserializeError,
    header: &StringRecord,
    record: &StringRecord,
) -> TableError {
    use csv::DeserializeErrorKind as Kind;
    let at = error.field().and_then(|at| usize::try_from(at).ok());
    let column = at.and_then(|at| header.get(at)).unwrap_or_default();
    let text = at.and_then(|at| record.get(at)).unwrap_or_default();
    let problem = match error.kind() {
        Kind::ParseInt(_) | Kind::ParseFloat(_) if text.is_empty() => "must not be empty".into(),
        Kind::ParseInt(_) | Kind::ParseFloat(_) => {
            format!("{text:?} is not a number of the kind wanted here")
        }
        kind => kind.to_string(),
    };
    place.error(column, problem)
}

/// A table file that is compiled in; a user's file of the same name may take its place.
pub(crate) struct File<T> {
    name: &'static str,
    built_in: &'static str,
    read: fn(&Sheet<'_>) -> Result<T, TableError>,
}

/// The users' texts by file name.
static REPLACED: OnceLock<BTreeMap<&'static str, &'static str>> = OnceLock::new();
/// Whether a table was read: from then on it is too late for a user's text.
static IN_USE: AtomicBool = AtomicBool::new(false);

impl<T> File<T> {
    pub(crate) const fn new(
        name: &'static str,
        built_in: &'static str,
        read: fn(&Sheet<'_>) -> Result<T, TableError>,
    ) -> Self {
        Self { name, built_in, read }
    }

    /// Reads the table: the user's where one was given, else the built-in one.
    ///
    /// # Panics
    ///
    /// Where the built-in table is not sound, which a test excludes; users' tables were checked
    /// by [`replace`].
    pub(crate) fn load(&self) -> T {
        IN_USE.store(true, Ordering::Relaxed);
        let user = REPLACED.get().and_then(|texts| texts.get(self.name));
        match (self.read)(&Sheet::new(self.name, user.copied().unwrap_or(self.built_in))) {
            Ok(table) => table,
            Err(error) => panic!("table: {error}"),
        }
    }
}

/// A table file, whatever its rows hold.
pub(crate) trait Check: Sync {
    /// The file name, the same for the built-in table and for the user's.
    fn name(&self) -> &'static str;
    /// The built-in text.
    fn built_in(&self) -> &'static str;
    /// Whether a text holds what the table wants.
    fn check(&self, path: &str, text: &'static str) -> Result<(), TableError>;
}

impl<T> Check for File<T> {
    fn name(&self) -> &'static str {
        self.name
    }

    fn built_in(&self) -> &'static str {
        self.built_in
    }

    fn check(&self, path: &str, text: &'static str) -> Result<(), TableError> {
        (self.read)(&Sheet::new(path, text)).map(drop)
    }
}

/// Takes users' texts, checked before, in place of the built-in ones.
pub(crate) fn replace(texts: BTreeMap<&'static str, &'static str>) -> Result<(), TableError> {
    let late = || TableError::of_file("tables", "must be named before the first of them is used");
    if IN_USE.load(Ordering::Relaxed) {
        return Err(late());
    }
    REPLACED.set(texts).map_err(|_| late())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Row {
        a: u16,
        #[serde(default)]
        b: &'static str,
    }

    fn numbers(text: &'static str) -> Result<Vec<(u16, &'static str)>, TableError> {
        Sheet::new("t.csv", text).rows(|row: Row, _| Ok((row.a, row.b)))
    }

    #[test]
    fn quotes_hold_commas_and_quotes() {
        let read = numbers("# c\na,b\n1,\"x, \"\"y\"\"\"\n\n2,\r\n").unwrap();
        assert_eq!(read, [(1, "x, \"y\""), (2, "")]);
    }

    #[test]
    fn an_error_names_file_line_and_key() {
        let error = numbers("# c\na,b\n1,x\ntwo,y\n").unwrap_err().to_string();
        assert!(error.starts_with("t.csv, line 4, key `a`: \"two\" is not a number"), "{error}");
        assert!(numbers("a,b\n1\n").unwrap_err().to_string().contains("line 2: 1 fields"));
        assert!(numbers("a,b\n1,\"x\n").unwrap_err().to_string().contains("never closed"));
        assert!(numbers("a\n").unwrap_err().to_string().contains("no row below"));
        assert!(numbers("").unwrap_err().to_string().contains("no header"));
        assert!(numbers("b\nx\n").unwrap_err().to_string().contains("missing field `a`"));
    }

    #[test]
    fn an_unknown_column_is_refused_and_a_later_one_may_be_missing() {
        let error = numbers("a,c\n1,2\n").unwrap_err().to_string();
        assert!(error.contains("unknown field `c`"), "{error}");
        assert_eq!(numbers("a\n1\n").unwrap(), [(1, "")]);
    }
}
