//! What levels mean in the trade: the editable table of thresholds.

use super::table::{File, filled};
use serde::Deserialize;
use std::sync::LazyLock;

/// One range of judgement.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LevelRange {
    /// The quantity: `rsrp`.
    #[serde(deserialize_with = "filled")]
    pub quantity: &'static str,
    /// The judgement: `strong`, `weak`.
    #[serde(deserialize_with = "filled")]
    pub judgement: &'static str,
    /// Lowest level of the range; `None` where open.
    pub low: Option<f64>,
    /// The level where the next range begins; `None` where open.
    pub high: Option<f64>,
    /// The unit.
    #[serde(deserialize_with = "filled")]
    pub unit: &'static str,
    /// What it means.
    #[serde(deserialize_with = "filled")]
    pub words: &'static str,
    /// Where it comes from.
    #[serde(deserialize_with = "filled")]
    pub source: &'static str,
}

/// The range that a level falls into; `None` where the table has no such quantity.
pub fn judge(quantity: &str, level: f64) -> Option<&'static LevelRange> {
    TABLE
        .iter()
        .filter(|r| r.quantity == quantity)
        .find(|r| r.low.is_none_or(|low| level >= low) && r.high.is_none_or(|high| level < high))
}

/// The ranges of a quantity, from the lowest up.
pub fn ranges(quantity: &str) -> Vec<&'static LevelRange> {
    let mut ranges: Vec<_> = TABLE.iter().filter(|r| r.quantity == quantity).collect();
    let from = |range: &LevelRange| range.low.unwrap_or(f64::NEG_INFINITY);
    ranges.sort_by(|a, b| from(a).total_cmp(&from(b)));
    ranges
}

/// The quantities of the table, in order.
pub fn quantities() -> Vec<&'static str> {
    let mut names: Vec<_> = TABLE.iter().map(|r| r.quantity).collect();
    names.dedup();
    names
}

static TABLE: LazyLock<Vec<LevelRange>> = LazyLock::new(|| FILE.load());

pub(crate) static FILE: File<Vec<LevelRange>> =
    File::new("levels.csv", include_str!("../../band-tables/levels.csv"), |sheet| {
        sheet.rows(|row: LevelRange, _| Ok(row))
    });

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_level_of_every_quantity_falls_into_one_range() {
        for quantity in quantities() {
            for tenth in -2000..500 {
                let level = f64::from(tenth) / 10.0;
                let fits = TABLE
                    .iter()
                    .filter(|r| r.quantity == quantity)
                    .filter(|r| {
                        r.low.is_none_or(|l| level >= l) && r.high.is_none_or(|h| level < h)
                    })
                    .count();
                assert_eq!(fits, 1, "{quantity} {level}");
            }
        }
    }
}
