//! The tables of the standards, kept as data files, and the arithmetic that goes with them.
//!
//! Each file of `band-tables/` is compiled in and read when it is first asked for. A directory
//! of the user's may hold files of the same names; each takes the place of the built-in one.

pub mod bands;
pub mod causes;
pub mod commands;
pub mod countries;
pub mod errors;
pub mod files;
pub mod index;
pub mod levels;
pub mod radio;
pub mod rates;
pub mod status_words;
mod table;
pub mod thresholds;
pub mod timers;

pub use table::{Source, TableError};

use std::path::Path;
use table::Replaceable;

static ALL: &[&dyn Replaceable] = &[
    &bands::eutra::TABLE,
    &bands::nr::TABLE,
    &bands::utra::TABLE,
    &bands::gsm::TABLE,
    &causes::TABLE,
    &commands::TABLE,
    &countries::TABLE,
    &countries::LENGTHS,
    &errors::CME,
    &errors::CMS,
    &files::TABLE,
    &index::TABLE,
    &levels::TABLE,
    &rates::TABLE,
    &status_words::TABLE,
    &thresholds::TABLE,
    &timers::TABLE,
];

/// Takes the tables of a directory in place of the built-in ones of the same file names.
///
/// # Errors
///
/// [`TableError`] where the directory or a file cannot be read, holds no table at all, a `.csv` file has a name that no
/// table has, a file does not hold what its table wants, or a table is in use already.
pub fn use_directory(directory: &Path) -> Result<(), TableError> {
    let fail = |path: &Path, problem: String| TableError {
        file: path.display().to_string(),
        line: 0,
        key: String::new(),
        problem,
    };
    let entries = std::fs::read_dir(directory)
        .map_err(|error| fail(directory, format!("cannot be read as a directory: {error}")))?;
    let mut taken = 0;
    for entry in entries {
        let path = entry.map_err(|error| fail(directory, error.to_string()))?.path();
        if path.extension().is_none_or(|extension| extension != "csv") {
            continue;
        }
        let name = path.file_name().unwrap_or_default();
        let Some(table) = ALL.iter().find(|table| name == table.file()) else {
            let names: Vec<_> = ALL.iter().map(|table| table.file()).collect();
            return Err(fail(
                &path,
                format!("no table has this name; there are {}", names.join(", ")),
            ));
        };
        let text = std::fs::read_to_string(&path)
            .map_err(|error| fail(&path, format!("cannot be read: {error}")))?;
        // A table lives as long as the program.
        table.replace(&path.display().to_string(), Box::leak(text.into_boxed_str()))?;
        taken += 1;
    }
    if taken == 0 {
        let names: Vec<_> = ALL.iter().map(|table| table.file()).collect();
        return Err(fail(directory, format!("holds no table; there are {}", names.join(", "))));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_built_in_table_is_sound() {
        for table in ALL {
            table.check().unwrap();
        }
    }

    #[test]
    fn every_file_of_the_folder_is_a_table_and_the_other_way_round() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("band-tables");
        let mut found: Vec<_> = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .filter(|name| Path::new(name).extension().is_some_and(|e| e == "csv"))
            .collect();
        found.sort();
        let mut known: Vec<_> = ALL.iter().map(|table| table.file()).collect();
        known.sort_unstable();
        assert_eq!(found, known);
    }
}
