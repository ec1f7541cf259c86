//! The files of a SIM and USIM (TS 31.102, TS 51.011, TS 102 221) by name and number.

use super::table::{File, Sheet, Source, Standing, TableError, filled};
use serde::Deserialize;
use std::sync::LazyLock;

/// A file of the card.
#[derive(Clone, Debug)]
pub struct CardFile {
    /// Its number.
    pub id: u16,
    /// Its name, `EF_…`.
    pub name: &'static str,
    /// Where it lies.
    pub path: &'static str,
    /// Transparent, linear fixed or cyclic.
    pub structure: &'static str,
    /// Its size in bytes, as the clause gives it.
    pub size: &'static str,
    /// What it holds and how.
    pub meaning: &'static str,
    /// Where the row comes from.
    pub source: Source,
}

/// The file of a number.
pub fn file(id: u16) -> Option<&'static CardFile> {
    TABLE.iter().find(|f| f.id == id)
}

/// The file of a name, with or without `EF_`.
pub fn named(name: &str) -> Option<&'static CardFile> {
    let plain = |n: &str| {
        n.to_ascii_uppercase()
            .trim_start_matches("EF")
            .trim_start_matches(['_', '-', '.'])
            .to_owned()
    };
    let wanted = plain(name);
    TABLE.iter().find(|f| plain(f.name) == wanted)
}

static TABLE: LazyLock<Vec<CardFile>> = LazyLock::new(|| FILE.load());

pub(crate) static FILE: File<Vec<CardFile>> =
    File::new("card-files.csv", include_str!("../../band-tables/card-files.csv"), read);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    id: &'static str,
    #[serde(deserialize_with = "filled")]
    name: &'static str,
    path: &'static str,
    structure: &'static str,
    size: &'static str,
    #[serde(deserialize_with = "filled")]
    meaning: &'static str,
    #[serde(deserialize_with = "filled")]
    clause: &'static str,
    standing: Standing,
    read_in: &'static str,
    #[serde(default)]
    note: &'static str,
}

fn read(sheet: &Sheet<'_>) -> Result<Vec<CardFile>, TableError> {
    sheet.rows(|row: Row, place| {
        Ok(CardFile {
            id: u16::from_str_radix(row.id, 16)
                .map_err(|_| place.error("id", "four hexadecimal digits are wanted"))?,
            name: row.name,
            path: row.path,
            structure: row.structure,
            size: row.size,
            meaning: row.meaning,
            source: Source::new(row.clause, row.standing, row.read_in, row.note),
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_found_by_number_and_name() {
        assert_eq!(file(0x6F07).unwrap().name, "EF_IMSI");
        assert_eq!(named("fplmn").unwrap().id, 0x6F7B);
    }
}
