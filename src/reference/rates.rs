//! Channel quality indicators and channel widths (TS 36.213 §7.2.3, TS 36.101 §5.6).

use super::table::{File, Sheet, Source, Standing, TableError, filled};
use serde::Deserialize;
use std::sync::LazyLock;

/// One row of a CQI table.
#[derive(Clone, Debug)]
pub struct Cqi {
    /// `64qam` (table 7.2.3-1) or `256qam` (table 7.2.3-2).
    pub table: &'static str,
    /// The index, 1 to 15.
    pub index: u8,
    /// The modulation.
    pub modulation: &'static str,
    /// Bits a symbol.
    pub bits: u8,
    /// Code rate times 1024.
    pub rate_1024: u16,
    /// Bits a resource element.
    pub efficiency: f64,
    /// Where the row comes from.
    pub source: Source,
}

/// The rows of an index, one a table.
pub fn cqi(index: u8) -> impl Iterator<Item = &'static Cqi> {
    TABLE.iter().filter(move |c| c.index == index)
}

/// E-UTRA channel widths in MHz with their resource blocks (TS 36.101 table 5.6-1).
const WIDTHS: [(f64, u32); 6] =
    [(1.4, 6), (3.0, 15), (5.0, 25), (10.0, 50), (15.0, 75), (20.0, 100)];

/// Resource blocks of a channel width in MHz; `None` for widths that E-UTRA lacks.
pub fn resource_blocks(mhz: f64) -> Option<u32> {
    WIDTHS.iter().find(|(width, _)| (width - mhz).abs() < 0.05).map(|(_, blocks)| *blocks)
}

/// The channel width in MHz of so many resource blocks; `None` for counts that E-UTRA lacks.
pub fn width_mhz(blocks: u32) -> Option<f64> {
    WIDTHS.iter().find(|(_, own)| *own == blocks).map(|(width, _)| *width)
}

static TABLE: LazyLock<Vec<Cqi>> = LazyLock::new(|| FILE.load());

pub(crate) static FILE: File<Vec<Cqi>> =
    File::new("cqi.csv", include_str!("../../band-tables/cqi.csv"), read);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    #[serde(deserialize_with = "filled")]
    table: &'static str,
    cqi: u8,
    #[serde(deserialize_with = "filled")]
    modulation: &'static str,
    bits: u8,
    rate_1024: u16,
    efficiency: f64,
    #[serde(deserialize_with = "filled")]
    clause: &'static str,
    standing: Standing,
    read_in: &'static str,
}

fn read(sheet: &Sheet<'_>) -> Result<Vec<Cqi>, TableError> {
    sheet.rows(|row: Row, place| {
        let product = f64::from(row.bits) * f64::from(row.rate_1024) / 1024.0;
        if (product - row.efficiency).abs() > 0.001 {
            return Err(place.error("efficiency", format!("bits x rate / 1024 is {product:.4}")));
        }
        Ok(Cqi {
            table: row.table,
            index: row.cqi,
            modulation: row.modulation,
            bits: row.bits,
            rate_1024: row.rate_1024,
            efficiency: row.efficiency,
            source: Source::new(row.clause, row.standing, row.read_in, ""),
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_and_their_resource_blocks() {
        // TS 36.101 table 5.6-1.
        assert_eq!(resource_blocks(20.0), Some(100));
        assert_eq!(resource_blocks(7.0), None);
        assert_eq!(width_mhz(6), Some(1.4));
    }
}
