//! Signal indices of `+CSQ` and `+CESQ`, and the level that each means (TS 27.007 §8.5, §8.69).

use super::table::{File, Sheet, Source, Standing, TableError, filled};
use serde::Deserialize;
use std::sync::LazyLock;

/// How indices become levels.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Shape {
    /// Index 0 lies below the base; each further one is a step of the same width.
    Step,
    /// Each index is a point; the first and the last are open.
    Point,
    /// Index 0 lies below the base; each further step is wider by a factor.
    Doubling,
}

/// One index map.
#[derive(Clone, Debug)]
pub struct IndexMap {
    /// Its short name: `rsrp`.
    pub name: &'static str,
    /// The command that prints it.
    pub command: &'static str,
    /// The field of the command.
    pub field: &'static str,
    /// How indices become levels.
    pub shape: Shape,
    /// The highest index.
    pub last: u16,
    /// The level at the base.
    pub base: f64,
    /// The width of a step, or the factor.
    pub step: f64,
    /// The unit.
    pub unit: &'static str,
    /// The number that says "not known or not detectable".
    pub unknown: u16,
    /// Where the row comes from.
    pub source: Source,
}

/// The levels that an index means: the lower edge included, the upper one not; for points both the same.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Lower edge; `None` where open.
    pub low: Option<f64>,
    /// Upper edge; `None` where open.
    pub high: Option<f64>,
}

impl IndexMap {
    /// The level of an index; `None` for the number that says "unknown" and outside the map.
    pub fn range(&self, index: u16) -> Option<Range> {
        if index > self.last {
            return None;
        }
        let n = f64::from(index);
        let (first, last) = (index == 0, index == self.last);
        Some(match self.shape {
            Shape::Point => {
                let point = self.base + n * self.step;
                Range { low: (!first).then_some(point), high: (!last).then_some(point) }
            }
            Shape::Step => Range {
                low: (!first).then_some(self.base + (n - 1.0) * self.step),
                high: (!last).then_some(self.base + n * self.step),
            },
            Shape::Doubling => Range {
                low: (!first).then(|| self.base * self.step.powf(n - 1.0)),
                high: (!last).then(|| self.base * self.step.powf(n)),
            },
        })
    }

    /// The one number that reports give for an index: the lower edge of a step, the point of a
    /// point; for the open lowest step its upper edge.
    pub fn level(&self, index: u16) -> Option<f64> {
        let range = self.range(index)?;
        range.low.or(range.high)
    }

    /// The index of a level.
    pub fn index_of(&self, level: f64) -> u16 {
        (0..=self.last)
            .rev()
            .find(|&i| self.range(i).is_some_and(|r| r.low.is_some_and(|low| level >= low)))
            .unwrap_or(0)
    }

    /// The level of an index in words: `-93 dBm ≤ rsrp < -92 dBm`.
    pub fn words(&self, index: u16) -> Option<String> {
        let unit = self.unit;
        Some(match (self.range(index)?, self.shape) {
            (Range { low: Some(a), high: Some(b) }, Shape::Point)
                if (a - b).abs() < f64::EPSILON =>
            {
                format!("{a} {unit}")
            }
            (Range { low: None, high: Some(b) }, Shape::Point) => format!("{b} {unit} or less"),
            (Range { low: Some(a), high: None }, _) => format!("{a} {unit} or more"),
            (Range { low: None, high: Some(b) }, _) => format!("below {b} {unit}"),
            (Range { low: Some(a), high: Some(b) }, _) => {
                format!("{a} up to, not including, {b} {unit}")
            }
            (Range { low: None, high: None }, _) => return None,
        })
    }
}

/// Every map.
pub fn maps() -> &'static [IndexMap] {
    &TABLE
}

/// The map of a name, also by its field: `csq`, `rssi`, `ss-rsrp`, `ss_rsrp`.
pub fn map(name: &str) -> Option<&'static IndexMap> {
    let plain = |n: &str| n.to_ascii_lowercase().replace(['_', ' '], "-");
    let wanted = plain(name);
    maps()
        .iter()
        .find(|m| m.name == wanted)
        .or_else(|| maps().iter().find(|m| plain(m.field) == wanted))
}

static TABLE: LazyLock<Vec<IndexMap>> = LazyLock::new(|| FILE.load());

pub(crate) static FILE: File<Vec<IndexMap>> =
    File::new("index-maps.csv", include_str!("../../band-tables/index-maps.csv"), read);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    #[serde(deserialize_with = "filled")]
    map: &'static str,
    #[serde(deserialize_with = "filled")]
    command: &'static str,
    #[serde(deserialize_with = "filled")]
    field: &'static str,
    form: Shape,
    last: u16,
    base: f64,
    step: f64,
    #[serde(deserialize_with = "filled")]
    unit: &'static str,
    unknown: u16,
    #[serde(deserialize_with = "filled")]
    clause: &'static str,
    standing: Standing,
    read_in: &'static str,
    #[serde(default)]
    note: &'static str,
}

fn read(sheet: &Sheet<'_>) -> Result<Vec<IndexMap>, TableError> {
    sheet.rows(|row: Row, _| {
        Ok(IndexMap {
            name: row.map,
            command: row.command,
            field: row.field,
            shape: row.form,
            last: row.last,
            base: row.base,
            step: row.step,
            unit: row.unit,
            unknown: row.unknown,
            source: Source::new(row.clause, row.standing, row.read_in, row.note),
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn level(name: &str, index: u16) -> Option<f64> {
        map(name).unwrap().level(index)
    }

    #[test]
    fn indices_are_those_of_the_clauses() {
        // TS 36.133 tables 9.1.4-1 and 9.1.7-1, TS 27.007 §8.5.
        assert_eq!(level("rsrp", 48), Some(-93.0));
        assert_eq!(level("rsrp", 97), Some(-44.0));
        assert_eq!(map("rsrp").unwrap().range(0), Some(Range { low: None, high: Some(-140.0) }));
        assert_eq!(level("rsrq", 34), Some(-3.0));
        assert_eq!(level("csq", 17), Some(-79.0));
        assert_eq!(level("csq", 31), Some(-51.0));
        assert_eq!(level("csq", 99), None);
        assert_eq!(level("rsrp", 255), None);
    }

    proptest! {
        #[test]
        fn an_index_and_its_level_belong_together(i in 0u16..128) {
            for map in maps() {
                if let Some(low) = map.range(i).and_then(|r| r.low) {
                    prop_assert_eq!(map.index_of(low), i, "{}", map.name);
                }
            }
        }
    }
}
