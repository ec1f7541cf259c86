//! How a table file is read: comma-separated rows under a header, and errors that name the place.
//!
//! ```text
//! # comment, anywhere on a line of its own
//! band,duplex,note
//! 1,FDD,"a field with, commas and ""quotes"""
//! ```

use csv::StringRecord;
use serde::Deserialize;
use std::fmt;
use std::sync::OnceLock;

/// What is wrong with a table file, and where.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TableError {
    /// The file, as it was named.
    pub file: String,
    /// The line, from 1; 0 where the file as a whole is meant.
    pub line: usize,
    /// The column by its name in the header; empty where the row as a whole is meant.
    pub key: String,
    /// What is wrong and what would be right.
    pub problem: String,
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

/// A row under its header.
pub(crate) struct Row<'s> {
    file: &'s str,
    line: usize,
    columns: &'s [&'static str],
    fields: Vec<&'static str>,
}

impl Row<'_> {
    /// An error at a column of this row.
    pub(crate) fn error(&self, key: &str, problem: impl Into<String>) -> TableError {
        TableError {
            file: self.file.to_owned(),
            line: self.line,
            key: key.to_owned(),
            problem: problem.into(),
        }
    }

    /// The text of a column, which may be empty.
    pub(crate) fn text(&self, column: &str) -> Result<&'static str, TableError> {
        self.columns
            .iter()
            .position(|name| *name == column)
            .map(|at| self.fields[at])
            .ok_or_else(|| self.error(column, "the header has no such column"))
    }

    /// The text of a column that must not be empty.
    pub(crate) fn filled(&self, column: &str) -> Result<&'static str, TableError> {
        let text = self.text(column)?;
        if text.is_empty() {
            return Err(self.error(column, "must not be empty"));
        }
        Ok(text)
    }

    /// The number of a column, `None` where it is empty.
    pub(crate) fn optional<T: std::str::FromStr>(
        &self,
        column: &str,
    ) -> Result<Option<T>, TableError> {
        let text = self.text(column)?;
        if text.is_empty() {
            return Ok(None);
        }
        text.parse().map(Some).map_err(|_| {
            self.error(column, format!("{text:?} is not a number of the kind wanted here"))
        })
    }

    /// The number of a column that must not be empty.
    pub(crate) fn number<T: std::str::FromStr>(&self, column: &str) -> Result<T, TableError> {
        self.optional(column)?.ok_or_else(|| self.error(column, "must not be empty"))
    }

    /// One of the words that a column allows.
    pub(crate) fn one_of<T: Copy>(
        &self,
        column: &str,
        choices: &[(&str, T)],
    ) -> Result<T, TableError> {
        let text = self.text(column)?;
        choices.iter().find(|(word, _)| *word == text).map(|(_, value)| *value).ok_or_else(|| {
            let words: Vec<_> = choices.iter().map(|(word, _)| *word).collect();
            self.error(column, format!("{text:?} is none of {}", words.join(", ")))
        })
    }

    /// The columns `clause`, `standing`, `read_in` and, where the table has it, `note`.
    pub(crate) fn source(&self) -> Result<Source, TableError> {
        Ok(Source {
            clause: self.filled("clause")?,
            verified: self.one_of("standing", &[("verified", true), ("unverified", false)])?,
            read_in: self.filled("read_in")?,
            note: if self.columns.contains(&"note") { self.text("note")? } else { "" },
        })
    }
}

/// The rows of a file.
pub(crate) struct Sheet<'s> {
    file: &'s str,
    text: &'static str,
    columns: Vec<&'static str>,
    lines: Lines,
}

impl<'s> Sheet<'s> {
    /// The file as it was named.
    pub(crate) fn file(&self) -> &'s str {
        self.file
    }

    /// Reads the header.
    pub(crate) fn new(file: &'s str, text: &'static str) -> Result<Self, TableError> {
        let mut lines = Lines { rest: text.strip_prefix('\u{feff}').unwrap_or(text), line: 0 };
        let columns = lines.next().map_or(Ok((0, Vec::new())), |line| line).map_err(|line| {
            TableError { file: file.to_owned(), line, key: String::new(), problem: UNCLOSED.into() }
        })?;
        if columns.1.is_empty() {
            return Err(TableError {
                file: file.to_owned(),
                line: 0,
                key: String::new(),
                problem: "the file has no header line".into(),
            });
        }
        Ok(Self { file, text, columns: columns.1, lines })
    }

    /// Reads every row into a `T`, with the line on which it stands.
    ///
    /// A column that `T` does not know or a missing one is an error where `T` denies it.
    pub(crate) fn typed<T: Deserialize<'static>>(self) -> Result<Vec<(usize, T)>, TableError> {
        let fail = |line: u64, key: &str, problem: String| TableError {
            file: self.file.to_owned(),
            line: usize::try_from(line).unwrap_or(0),
            key: key.to_owned(),
            problem,
        };
        let mut reader =
            csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(self.text.as_bytes());
        // A table lives as long as the program, and so may its header and its records.
        let header: &'static StringRecord = Box::leak(Box::new(
            reader.headers().map_err(|error| fail(0, "", error.to_string()))?.clone(),
        ));
        let mut rows = Vec::new();
        for record in reader.into_records() {
            let record = record.map_err(|error| {
                let line = error.position().map_or(0, csv::Position::line);
                match error.kind() {
                    csv::ErrorKind::UnequalLengths { expected_len, len, .. } => {
                        fail(line, "", format!("{len} fields, the header has {expected_len}"))
                    }
                    _ => fail(line, "", error.to_string()),
                }
            })?;
            let record: &'static StringRecord = Box::leak(Box::new(record));
            let line = record.position().map_or(0, csv::Position::line);
            let row = record.deserialize(Some(header)).map_err(|error| match error.kind() {
                csv::ErrorKind::Deserialize { err, .. } => {
                    let column = err.field().and_then(|at| usize::try_from(at).ok());
                    let key = column.and_then(|at| header.get(at)).unwrap_or_default();
                    fail(line, key, err.kind().to_string())
                }
                _ => fail(line, "", error.to_string()),
            })?;
            rows.push((usize::try_from(line).unwrap_or(0), row));
        }
        if rows.is_empty() {
            return Err(fail(0, "", "the file has no row below its header".into()));
        }
        Ok(rows)
    }

    /// An error at a column of a row.
    pub(crate) fn error(
        file: &str,
        line: usize,
        key: &str,
        problem: impl Into<String>,
    ) -> TableError {
        TableError { file: file.to_owned(), line, key: key.to_owned(), problem: problem.into() }
    }

    /// Reads every row with `row`.
    pub(crate) fn rows<T>(
        self,
        mut row: impl FnMut(&Row<'_>) -> Result<T, TableError>,
    ) -> Result<Vec<T>, TableError> {
        let mut read = Vec::new();
        for line in self.lines {
            let (line, fields) = match line {
                Ok(line) => line,
                Err(line) => {
                    return Err(TableError {
                        file: self.file.to_owned(),
                        line,
                        key: String::new(),
                        problem: UNCLOSED.into(),
                    });
                }
            };
            let this = Row { file: self.file, line, columns: &self.columns, fields };
            if this.fields.len() != this.columns.len() {
                let (found, wanted) = (this.fields.len(), this.columns.len());
                return Err(this.error("", format!("{found} fields, the header has {wanted}")));
            }
            read.push(row(&this)?);
        }
        if read.is_empty() {
            return Err(TableError {
                file: self.file.to_owned(),
                line: 0,
                key: String::new(),
                problem: "the file has no row below its header".into(),
            });
        }
        Ok(read)
    }
}

const UNCLOSED: &str = "a quoted field is never closed";

/// Splits a text into rows of fields; `Err` carries the line of a field that never ends.
struct Lines {
    rest: &'static str,
    line: usize,
}

impl Iterator for Lines {
    type Item = Result<(usize, Vec<&'static str>), usize>;

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            if self.rest.is_empty() {
                return None;
            }
            self.line += 1;
            let end = self.rest.find('\n').unwrap_or(self.rest.len());
            let whole = &self.rest[..end];
            self.rest = self.rest.get(end + 1..).unwrap_or("");
            let whole = whole.strip_suffix('\r').unwrap_or(whole);
            if !whole.trim().is_empty() && !whole.starts_with('#') {
                return Some(split(whole).map(|fields| (self.line, fields)).ok_or(self.line));
            }
        }
    }
}

/// The fields of one line; `None` where a quote is never closed.
fn split(line: &'static str) -> Option<Vec<&'static str>> {
    let mut fields = Vec::with_capacity(20);
    let mut rest = line;
    loop {
        let Some(quoted) = rest.strip_prefix('"') else {
            let Some(comma) = rest.find(',') else {
                fields.push(rest);
                return Some(fields);
            };
            fields.push(&rest[..comma]);
            rest = &rest[comma + 1..];
            continue;
        };
        let mut end = 0;
        let mut doubled = false;
        loop {
            end += quoted[end..].find('"')?;
            if !quoted[end + 1..].starts_with('"') {
                break;
            }
            doubled = true;
            end += 2;
        }
        // A table lives as long as the program, so that a text made anew may as well.
        fields.push(if doubled {
            Box::leak(quoted[..end].replace("\"\"", "\"").into_boxed_str())
        } else {
            &quoted[..end]
        });
        match quoted[end + 1..].strip_prefix(',') {
            Some(more) => rest = more,
            None => return quoted[end + 1..].is_empty().then_some(fields),
        }
    }
}

/// A table that is read when it is first asked for.
pub(crate) struct Table<T: 'static> {
    file: &'static str,
    text: &'static str,
    read: fn(Sheet<'_>) -> Result<T, TableError>,
    held: OnceLock<T>,
}

impl<T> Table<T> {
    pub(crate) const fn new(
        file: &'static str,
        text: &'static str,
        read: fn(Sheet<'_>) -> Result<T, TableError>,
    ) -> Self {
        Self { file, text, read, held: OnceLock::new() }
    }

    /// The table: the user's where one was given, else the built-in one.
    pub(crate) fn get(&'static self) -> &'static T {
        self.held.get_or_init(|| match self.read_text(self.file, self.text) {
            Ok(table) => table,
            Err(error) => panic!("built-in table: {error}"),
        })
    }

    fn read_text(&self, file: &str, text: &'static str) -> Result<T, TableError> {
        (self.read)(Sheet::new(file, text)?)
    }
}

/// A table whose content may be replaced before it is first used.
pub(crate) trait Replaceable: Sync {
    /// The file name, the same for the built-in table and for the user's.
    fn file(&self) -> &'static str;
    /// The built-in text, read and checked.
    #[cfg(test)]
    fn check(&self) -> Result<(), TableError>;
    /// Takes the user's text instead of the built-in one.
    fn replace(&self, path: &str, text: &'static str) -> Result<(), TableError>;
}

impl<T: Sync + Send> Replaceable for Table<T> {
    fn file(&self) -> &'static str {
        self.file
    }

    #[cfg(test)]
    fn check(&self) -> Result<(), TableError> {
        self.read_text(self.file, self.text).map(drop)
    }

    fn replace(&self, path: &str, text: &'static str) -> Result<(), TableError> {
        let table = self.read_text(path, text)?;
        self.held.set(table).map_err(|_| TableError {
            file: path.to_owned(),
            line: 0,
            key: String::new(),
            problem: "tables must be named before the first of them is used".into(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbers(text: &'static str) -> Result<Vec<(u16, &'static str)>, TableError> {
        Sheet::new("t.csv", text)?.rows(|row| Ok((row.number("a")?, row.text("b")?)))
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
        assert!(numbers("x\n").unwrap_err().to_string().contains("no row below"));
        assert!(numbers("").unwrap_err().to_string().contains("no header"));
    }
}
