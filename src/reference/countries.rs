//! Mobile country codes, and how long their network codes are (ITU-T E.212).

use super::table::{File, Place, Sheet, Source, Standing, TableError, filled};
use serde::Deserialize;
use std::sync::LazyLock;

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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
pub enum MncLength {
    /// Two digits.
    #[serde(rename = "2")]
    Two,
    /// Three digits.
    #[serde(rename = "3")]
    Three,
    #[serde(rename = "mixed")]
    /// Both are in use: only the card's file EF_AD says which.
    Mixed,
}

/// The country of a code.
pub fn country(mcc: &str) -> Option<&'static Country> {
    TABLE.iter().find(|c| c.mcc == mcc)
}

/// Every country code, in order.
pub fn countries() -> &'static [Country] {
    &TABLE
}

/// How long network codes are in a country: a guess, which the card's AD file overrules
/// (TS 31.102 §4.2.18). Countries that the table does not name have two digits.
pub fn mnc_length(mcc: &str) -> MncLength {
    row_of(mcc).map_or(MncLength::Two, |row| row.length)
}

/// Where the table has that from; `None` for a country that it does not name.
pub fn mnc_length_source(mcc: &str) -> Option<Source> {
    row_of(mcc).map(|row| row.source)
}

fn row_of(mcc: &str) -> Option<&'static NetworkCodes> {
    LENGTHS.iter().find(|row| row.mcc == mcc)
}

/// A row of the lengths.
pub(crate) struct NetworkCodes {
    mcc: &'static str,
    length: MncLength,
    source: Source,
}

static TABLE: LazyLock<Vec<Country>> = LazyLock::new(|| FILE.load());
static LENGTHS: LazyLock<Vec<NetworkCodes>> = LazyLock::new(|| LENGTHS_FILE.load());

pub(crate) static FILE: File<Vec<Country>> =
    File::new("countries.csv", include_str!("../../band-tables/countries.csv"), read);
pub(crate) static LENGTHS_FILE: File<Vec<NetworkCodes>> =
    File::new("mnc-lengths.csv", include_str!("../../band-tables/mnc-lengths.csv"), read_lengths);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    mcc: &'static str,
    alpha2: &'static str,
    #[serde(deserialize_with = "filled")]
    name: &'static str,
    #[serde(deserialize_with = "filled")]
    clause: &'static str,
    standing: Standing,
    read_in: &'static str,
    #[serde(default)]
    note: &'static str,
}

fn read(sheet: &Sheet<'_>) -> Result<Vec<Country>, TableError> {
    sheet.rows(|row: Row, place| {
        Ok(Country {
            mcc: code(row.mcc, place)?,
            alpha2: row.alpha2,
            name: row.name,
            source: Source::new(row.clause, row.standing, row.read_in, row.note),
        })
    })
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LengthRow {
    mcc: &'static str,
    length: MncLength,
    #[serde(deserialize_with = "filled")]
    clause: &'static str,
    standing: Standing,
    read_in: &'static str,
    #[serde(default)]
    note: &'static str,
}

fn read_lengths(sheet: &Sheet<'_>) -> Result<Vec<NetworkCodes>, TableError> {
    sheet.rows(|row: LengthRow, place| {
        let source = Source::new(row.clause, row.standing, row.read_in, row.note);
        Ok(NetworkCodes { mcc: code(row.mcc, place)?, length: row.length, source })
    })
}

fn code(mcc: &'static str, place: Place<'_>) -> Result<&'static str, TableError> {
    if mcc.len() == 3 && mcc.bytes().all(|b| b.is_ascii_digit()) {
        return Ok(mcc);
    }
    Err(place.error("mcc", "three digits are wanted"))
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
