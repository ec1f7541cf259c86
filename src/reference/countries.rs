//! Mobile country codes, and how long their network codes are (ITU-T E.212).

use super::table::{Row, Source, Table, TableError};

/// A mobile country code.
#[derive(Clone, Debug)]
pub struct Country {
    /// Three digits.
    pub mcc: &'static str,
    /// ISO 3166 codes, blank-separated where shared; empty for test and international codes.
    pub alpha2: &'static str,
    /// The name.
    pub name: &'static str,
    /// Where the row comes from.
    pub source: Source,
}

/// How long the network codes of a country are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MncLength {
    /// Two digits.
    Two,
    /// Three digits.
    Three,
    /// Both are in use: only the card's AD file tells.
    Mixed,
}

/// The country of a code.
pub fn country(mcc: &str) -> Option<&'static Country> {
    TABLE.get().iter().find(|c| c.mcc == mcc)
}

/// Every country code, in order.
pub fn countries() -> &'static [Country] {
    TABLE.get()
}

/// How long network codes are in a country: a guess, which the card's AD file overrules
/// (TS 31.102 §4.2.18). Countries that the table does not name have two digits.
pub fn mnc_length(mcc: &str) -> MncLength {
    LENGTHS
        .get()
        .iter()
        .find(|(code, _)| *code == mcc)
        .map_or(MncLength::Two, |(_, length)| *length)
}

pub(crate) static TABLE: Table<Vec<Country>> =
    Table::new("countries.csv", include_str!("../../band-tables/countries.csv"), |sheet| {
        sheet.rows(read)
    });

pub(crate) static LENGTHS: Table<Vec<(&'static str, MncLength)>> =
    Table::new("mnc-lengths.csv", include_str!("../../band-tables/mnc-lengths.csv"), |sheet| {
        sheet.rows(|row| Ok((code(row)?, row.one_of("length", WORDS)?)))
    });

const WORDS: &[(&str, MncLength)] =
    &[("2", MncLength::Two), ("3", MncLength::Three), ("mixed", MncLength::Mixed)];

fn read(row: &Row<'_>) -> Result<Country, TableError> {
    Ok(Country {
        mcc: code(row)?,
        alpha2: row.text("alpha2")?,
        name: row.filled("name")?,
        source: row.source()?,
    })
}

fn code(row: &Row<'_>) -> Result<&'static str, TableError> {
    let code = row.filled("mcc")?;
    if code.len() == 3 && code.bytes().all(|b| b.is_ascii_digit()) {
        return Ok(code);
    }
    Err(row.error("mcc", "three digits are wanted"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_in_order_and_never_repeat() {
        assert!(countries().is_sorted_by(|a, b| a.mcc < b.mcc));
    }

    #[test]
    fn lengths_follow_the_table() {
        assert_eq!(mnc_length("310"), MncLength::Three);
        assert_eq!(mnc_length("262"), MncLength::Two);
        assert_eq!(mnc_length("001"), MncLength::Mixed);
    }
}
