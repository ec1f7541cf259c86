//! Rows of an earlier run read back: JSON Lines, and Parquet where the program has it; files and folders of them.

use super::row::{FORMAT, Row};
use super::source;
use std::fs::File;
use std::io::{self, BufRead, BufReader};
use std::path::{Path, PathBuf};

/// Why rows could not be read.
#[derive(Debug, thiserror::Error)]
pub enum RowsError {
    /// The system refused.
    #[error("{}: {problem}", path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What went wrong.
        problem: String,
    },
    /// A line is no row.
    #[error("{}, line {line}: this is no row of `mastside triage`: {problem}", path.display())]
    NoRow {
        /// The file.
        path: PathBuf,
        /// The line, from 1.
        line: usize,
        /// What the reader says.
        problem: String,
    },
    /// A newer program wrote it.
    #[error("{} has form {found}, this program reads form {FORMAT}: use the newer program", path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// The form that stands there.
        found: u8,
    },
    /// The program was built without what the file needs.
    #[error("{} is Parquet, and this program was built without it: build with `--features parquet`, or give rows as JSON Lines", path.display())]
    WithoutParquet {
        /// The file.
        path: PathBuf,
    },
}

/// Hands every row of files and folders to `take`, in the order of their names.
///
/// # Errors
///
/// [`RowsError`], at the first file or line that is no row.
pub fn read(paths: &[PathBuf], mut take: impl FnMut(Row)) -> Result<(), RowsError> {
    for path in source::files(paths) {
        // What a cluster writes beside its rows.
        let marker = path.file_name().is_some_and(|n| n.as_encoded_bytes().starts_with(b"_"));
        if !marker {
            read_one(&path, &mut take)?;
        }
    }
    Ok(())
}

fn read_one(path: &Path, take: &mut impl FnMut(Row)) -> Result<(), RowsError> {
    let fail = |e: io::Error| RowsError::Unreadable { path: path.into(), problem: e.to_string() };
    let mut reader: Box<dyn BufRead> = if path == Path::new("-") {
        Box::new(io::stdin().lock())
    } else {
        Box::new(BufReader::with_capacity(1 << 18, File::open(path).map_err(fail)?))
    };
    if reader.fill_buf().map_err(fail)?.starts_with(b"PAR1") {
        #[cfg(feature = "parquet")]
        return super::parquet::read(path, take);
        #[cfg(not(feature = "parquet"))]
        return Err(RowsError::WithoutParquet { path: path.into() });
    }
    let mut line = Vec::new();
    for number in 1.. {
        line.clear();
        if reader.read_until(b'\n', &mut line).map_err(fail)? == 0 {
            break;
        }
        if line.trim_ascii().is_empty() {
            continue;
        }
        let row: Row = serde_json::from_slice(&line).map_err(|e| RowsError::NoRow {
            path: path.into(),
            line: number,
            problem: e.to_string(),
        })?;
        take(checked(row, path, number)?);
    }
    Ok(())
}

/// A row that says something, of a form that this program knows.
fn checked(row: Row, path: &Path, line: usize) -> Result<Row, RowsError> {
    if row.format > FORMAT {
        return Err(RowsError::Newer { path: path.into(), found: row.format });
    }
    if row.finding.is_none() && row.error.is_none() {
        let problem = "it has neither a finding nor an error".into();
        return Err(RowsError::NoRow { path: path.into(), line, problem });
    }
    Ok(row)
}

/// How many whole rows stand in a file, and the bytes up to the end of the last of them.
///
/// # Errors
///
/// What the system says.
pub fn whole_rows(path: &Path) -> io::Result<(u64, u64)> {
    let mut reader = BufReader::with_capacity(1 << 18, File::open(path)?);
    let (mut rows, mut bytes, mut line) = (0, 0, Vec::new());
    loop {
        line.clear();
        let read = reader.read_until(b'\n', &mut line)?;
        if read == 0 || !line.ends_with(b"\n") {
            return Ok((rows, bytes));
        }
        rows += 1;
        bytes += read as u64;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_read_from_folders_and_what_is_none_is_refused_with_its_line() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.jsonl");
        let row = Row { site: "weir".into(), finding: Some("connected".into()), ..Row::default() };
        let good = row.line();
        std::fs::write(folder.path().join("_SUCCESS"), "").unwrap();
        std::fs::write(&path, format!("{good}\n{good}")).unwrap();
        let mut rows = Vec::new();
        read(&[folder.path().into()], |row| rows.push(row)).unwrap();
        assert_eq!(rows, [row.clone(), row]);
        assert_eq!(whole_rows(&path).unwrap().0, 3);
        let refused = |text: &str| {
            std::fs::write(&path, text).unwrap();
            read(std::slice::from_ref(&path), |_| {}).unwrap_err().to_string()
        };
        assert!(refused(&format!("{good}{{\"site\":1}}\n")).contains("line 2: this is no row"));
        assert!(refused(&good.replace("\"format\":0", "\"format\":9")).contains("form 9"));
        std::fs::write(&path, format!("{good}{}", &good[..9])).unwrap();
        assert_eq!(whole_rows(&path).unwrap(), (1, good.len() as u64));
    }
}
