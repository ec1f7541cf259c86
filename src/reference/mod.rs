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
pub mod models;
pub mod radio;
pub mod rates;
pub mod status_words;
mod table;
pub mod thresholds;
pub mod timers;
pub(crate) mod word_lists;

pub use table::{Source, TableError};

use std::collections::BTreeMap;
use std::path::Path;
use table::Check;

static FILES: &[&dyn Check] = &[
    &bands::eutra::FILE,
    &bands::nr::FILE,
    &bands::utra::FILE,
    &bands::gsm::FILE,
    &causes::FILE,
    &commands::FILE,
    &commands::BESIDE_FILE,
    &countries::FILE,
    &countries::LENGTHS_FILE,
    &errors::CME_FILE,
    &errors::CMS_FILE,
    &files::FILE,
    &index::FILE,
    &levels::FILE,
    &models::FILE,
    &rates::FILE,
    &status_words::FILE,
    &status_words::SOURCES_FILE,
    &status_words::STATEMENTS_FILE,
    &status_words::VALUES_FILE,
    &thresholds::FILE,
    &timers::FILE,
    &word_lists::FILE,
];

/// Takes the tables of a directory in place of the built-in ones of the same file names.
///
/// # Errors
///
/// [`TableError`] where the directory or a file cannot be read, holds no table at all, a `.csv` file has a name that no
/// table has, a file does not hold what its table wants, or a table is in use already.
pub fn use_directory(directory: &Path) -> Result<(), TableError> {
    let fail =
        |path: &Path, problem: String| TableError::of_file(path.display().to_string(), problem);
    let names = || FILES.iter().map(|table| table.name()).collect::<Vec<_>>().join(", ");
    let entries = std::fs::read_dir(directory)
        .map_err(|error| fail(directory, format!("cannot be read as a directory: {error}")))?;
    let mut texts = BTreeMap::new();
    for entry in entries {
        let path = entry.map_err(|error| fail(directory, error.to_string()))?.path();
        if path.extension().is_none_or(|extension| extension != "csv") {
            continue;
        }
        let name = path.file_name().unwrap_or_default();
        let Some(table) = FILES.iter().find(|table| name == table.name()) else {
            return Err(fail(&path, format!("no table has this name; there are {}", names())));
        };
        let text = std::fs::read_to_string(&path)
            .map_err(|error| fail(&path, format!("cannot be read: {error}")))?;
        // A table lives as long as the program.
        let text: &'static str = Box::leak(text.into_boxed_str());
        table.check(&path.display().to_string(), text)?;
        texts.insert(table.name(), text);
    }
    if texts.is_empty() {
        return Err(fail(directory, format!("has no table; there are {}", names())));
    }
    table::replace(texts)
}

/// Reads every built-in table whole, and says how many there are.
///
/// # Errors
///
/// [`TableError`] of the first table that does not hold what it should.
pub fn check_built_in() -> Result<usize, TableError> {
    FILES.iter().try_for_each(|table| table.check(table.name(), table.built_in()))?;
    Ok(FILES.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_built_in_table_is_sound() {
        assert_eq!(check_built_in(), Ok(FILES.len()));
    }

    #[test]
    fn tables_from_before_a_column_was_added_stay_readable() {
        // First rows of the tables that the first release shipped and that users may have edited.
        let old = [
            (
                "causes.csv",
                "list,value,last,name,meaning,acts,retries,timer,clause,standing,read_in,note\n\
                 emm,11,11,PLMN not allowed,Refused.,carrier,elsewhere,,TS 24.301,verified,TS 24.301,\n",
            ),
            (
                "timers.csv",
                "name,layer,value,kind,clause,meaning,standing,read_in\n\
                 T3402,EMM,12 min,default,TS 24.301,The long pause,verified,TS 24.301\n",
            ),
            (
                "utra.csv",
                "band,roman,uplink_low_khz,uplink_high_khz,downlink_low_khz,downlink_high_khz,\
                 uplink_offset_khz,uplink_first,uplink_last,downlink_offset_khz,downlink_first,\
                 downlink_last,clause,standing,read_in,note\n\
                 1,I,1920000,1980000,2110000,2170000,0,9612,9888,0,10562,10838,TS 25.101,verified,x,\n",
            ),
            (
                "e-utra.csv",
                "band,duplex,uplink_low_khz,uplink_high_khz,downlink_low_khz,downlink_high_khz,\
                 downlink_first,downlink_last,uplink_first,uplink_last,bandwidths_khz,\
                 bandwidths_standing,release,clause,standing,read_in,note\n\
                 1,FDD,1920000,1980000,2110000,2170000,0,599,18000,18599,5000,unverified,8,\
                 TS 36.101,verified,x,\n",
            ),
        ];
        for (name, text) in old {
            let table = FILES.iter().find(|table| table.name() == name).unwrap();
            table.check(name, text).unwrap();
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
        let mut known: Vec<_> = FILES.iter().map(|table| table.name()).collect();
        known.sort_unstable();
        assert_eq!(found, known);
    }
}
