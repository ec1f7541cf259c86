//! The files of a SIM and USIM (TS 31.102, TS 51.011, TS 102 221) by name and number.

use super::table::{Row, Source, Table, TableError};

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
    TABLE.get().iter().find(|f| f.id == id)
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
    TABLE.get().iter().find(|f| plain(f.name) == wanted)
}

pub(crate) static TABLE: Table<Vec<CardFile>> =
    Table::new("card-files.csv", include_str!("../../band-tables/card-files.csv"), |sheet| {
        sheet.rows(read)
    });

fn read(row: &Row<'_>) -> Result<CardFile, TableError> {
    let id = row.filled("id")?;
    Ok(CardFile {
        id: u16::from_str_radix(id, 16)
            .map_err(|_| row.error("id", "four hexadecimal digits are wanted"))?,
        name: row.filled("name")?,
        path: row.text("path")?,
        structure: row.text("structure")?,
        size: row.text("size")?,
        meaning: row.filled("meaning")?,
        source: row.source()?,
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
