//! Channel quality, efficiency and the ceiling of a data rate (TS 36.213 §7.2.3, TS 36.101 §5.6).

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

/// The row of an index in a table.
pub fn cqi(table: &str, index: u8) -> Option<&'static Cqi> {
    TABLE.iter().find(|c| c.table == table && c.index == index)
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

/// Resource elements of a pair of blocks in 1 ms: 12 subcarriers × 14 symbols (TS 36.211 §6.2.3).
pub const ELEMENTS_PER_BLOCK_PAIR: u32 = 168;

/// The highest efficiency that a ratio of signal to noise allows, bits a resource element: the
/// best row of the table within Shannon's bound `log2(1 + S/N)`. `None` below the lowest row.
pub fn efficiency_at(table: &str, sinr_db: f64) -> Option<&'static Cqi> {
    let bound = (1.0 + 10f64.powf(sinr_db / 10.0)).log2();
    TABLE.iter().filter(|c| c.table == table && c.efficiency <= bound).max_by_key(|c| c.index)
}

/// The rate in Mbit/s that no link of this width, efficiency and number of layers exceeds:
/// blocks × 168 × efficiency × layers in 1 ms, control and reference signals not yet taken off.
pub fn ceiling_mbps(blocks: u32, efficiency: f64, layers: u8) -> f64 {
    f64::from(blocks * ELEMENTS_PER_BLOCK_PAIR) * efficiency * f64::from(layers) / 1000.0
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
    fn the_ceiling_of_the_widest_channel() {
        // 100 blocks x 168 x 5.5547 / 1000, arithmetic on TS 36.213 table 7.2.3-1.
        let best = cqi("64qam", 15).unwrap();
        assert!((ceiling_mbps(100, best.efficiency, 1) - 93.32).abs() < 0.01);
        assert_eq!(resource_blocks(20.0), Some(100));
        assert_eq!(resource_blocks(7.0), None);
        assert_eq!(width_mhz(6), Some(1.4));
    }

    #[test]
    fn no_efficiency_exceeds_shannons_bound() {
        assert_eq!(efficiency_at("64qam", 30.0).unwrap().index, 15);
        assert!(efficiency_at("64qam", -20.0).is_none());
        assert_eq!(efficiency_at("64qam", 0.0).unwrap().efficiency, 0.877);
    }
}
