//! Errors that a module gives: `+CME ERROR` (TS 27.007 §9.2) and `+CMS ERROR` (TS 27.005 §3.2.5).

use super::table::{File, Sheet, Source, Standing, TableError, filled};
use serde::Deserialize;
use std::sync::LazyLock;

/// One error number.
#[derive(Clone, Debug)]
pub struct ModuleError {
    /// The number.
    pub number: u16,
    /// The text of the standard; those above 100 are shortened.
    pub text: &'static str,
    /// What it means, or where the number comes from; empty where the text says it all.
    pub meaning: &'static str,
    /// The cause that it means, as `list number`; empty where none.
    pub cause: &'static str,
    /// Where the row comes from.
    pub source: Source,
}

/// The `+CME ERROR` of a number.
pub fn cme(number: u16) -> Option<&'static ModuleError> {
    CME.iter().find(|e| e.number == number)
}

/// The `+CME ERROR` that has these words, in whatever case.
pub fn cme_in_words(words: &str) -> Option<&'static ModuleError> {
    CME.iter().find(|e| e.text.eq_ignore_ascii_case(words))
}

/// The `+CMS ERROR` of a number.
pub fn cms(number: u16) -> Option<&'static ModuleError> {
    CMS.iter().find(|e| e.number == number)
}

/// The errors whose number is next to one that the table does not have.
pub fn nearest(cms: bool, number: u16) -> Option<&'static ModuleError> {
    let table = if cms { &CMS } else { &CME };
    table.iter().min_by_key(|e| e.number.abs_diff(number))
}

static CME: LazyLock<Vec<ModuleError>> = LazyLock::new(|| CME_FILE.load());
static CMS: LazyLock<Vec<ModuleError>> = LazyLock::new(|| CMS_FILE.load());

pub(crate) static CME_FILE: File<Vec<ModuleError>> =
    File::new("cme-errors.csv", include_str!("../../band-tables/cme-errors.csv"), read_cme);
pub(crate) static CMS_FILE: File<Vec<ModuleError>> =
    File::new("cms-errors.csv", include_str!("../../band-tables/cms-errors.csv"), read_cms);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CmeRow {
    value: u16,
    #[serde(deserialize_with = "filled")]
    text: &'static str,
    meaning: &'static str,
    cause: &'static str,
    #[serde(deserialize_with = "filled")]
    clause: &'static str,
    standing: Standing,
    read_in: &'static str,
    #[serde(default)]
    note: &'static str,
}

fn read_cme(sheet: &Sheet<'_>) -> Result<Vec<ModuleError>, TableError> {
    sheet.rows(|row: CmeRow, _| {
        Ok(ModuleError {
            number: row.value,
            text: row.text,
            meaning: row.meaning,
            cause: row.cause,
            source: Source::new(row.clause, row.standing, row.read_in, row.note),
        })
    })
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CmsRow {
    value: u16,
    #[serde(deserialize_with = "filled")]
    text: &'static str,
    origin: &'static str,
    #[serde(deserialize_with = "filled")]
    clause: &'static str,
    standing: Standing,
    read_in: &'static str,
}

fn read_cms(sheet: &Sheet<'_>) -> Result<Vec<ModuleError>, TableError> {
    sheet.rows(|row: CmsRow, _| {
        Ok(ModuleError {
            number: row.value,
            text: row.text,
            meaning: row.origin,
            cause: "",
            source: Source::new(row.clause, row.standing, row.read_in, ""),
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_ones_are_there() {
        assert_eq!(cme(10).unwrap().text.to_lowercase(), "sim not inserted");
        assert_eq!(cme(30).unwrap().text.to_lowercase(), "no network service");
        assert!(cms(500).is_some());
        assert!(cme(9999).is_none());
    }
}
