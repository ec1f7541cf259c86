//! Errors that a module gives: `+CME ERROR` (TS 27.007 §9.2) and `+CMS ERROR` (TS 27.005 §3.2.5).

use super::table::{Row, Sheet, Source, Table, TableError};

/// One error number.
#[derive(Clone, Debug)]
pub struct ModuleError {
    /// The number.
    pub number: u16,
    /// The text of the standard; those above 100 are shortened.
    pub text: &'static str,
    /// What it means, or where the number comes from; empty where the text says it all.
    pub meaning: &'static str,
    /// The cause that it stands for, as `list number`; empty where none.
    pub cause: &'static str,
    /// Where the row comes from.
    pub source: Source,
}

/// The `+CME ERROR` of a number.
pub fn cme(number: u16) -> Option<&'static ModuleError> {
    CME.get().iter().find(|e| e.number == number)
}

/// The `+CME ERROR` that has these words, in whatever case.
pub fn cme_in_words(words: &str) -> Option<&'static ModuleError> {
    CME.get().iter().find(|e| e.text.eq_ignore_ascii_case(words))
}

/// The `+CMS ERROR` of a number.
pub fn cms(number: u16) -> Option<&'static ModuleError> {
    CMS.get().iter().find(|e| e.number == number)
}

/// The errors whose number is next to one that the table does not have.
pub fn nearest(cms: bool, number: u16) -> Option<&'static ModuleError> {
    let table = if cms { CMS.get() } else { CME.get() };
    table.iter().min_by_key(|e| e.number.abs_diff(number))
}

pub(crate) static CME: Table<Vec<ModuleError>> =
    Table::new("cme-errors.csv", include_str!("../../band-tables/cme-errors.csv"), |sheet| {
        sheet.rows(|row| error(row, "meaning", Some("cause")))
    });

pub(crate) static CMS: Table<Vec<ModuleError>> =
    Table::new("cms-errors.csv", include_str!("../../band-tables/cms-errors.csv"), read_cms);

fn read_cms(sheet: Sheet<'_>) -> Result<Vec<ModuleError>, TableError> {
    sheet.rows(|row| error(row, "origin", None))
}

fn error(row: &Row<'_>, meaning: &str, cause: Option<&str>) -> Result<ModuleError, TableError> {
    Ok(ModuleError {
        number: row.number("value")?,
        text: row.filled("text")?,
        meaning: row.text(meaning)?,
        cause: cause.map_or(Ok(""), |c| row.text(c))?,
        source: row.source()?,
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
