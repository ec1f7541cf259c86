//! Where the rules begin to speak of a fault: the editable table of thresholds.

use super::table::{File, filled};
use serde::Deserialize;
use std::sync::LazyLock;

/// A range of judgement: from `begins` on a fault is possible, from `sure` on likely.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Threshold {
    /// What is judged: `rsrp`, `branches`.
    #[serde(deserialize_with = "filled")]
    pub name: &'static str,
    /// Where the range begins.
    pub begins: f64,
    /// Where it ends: beyond this the fault is the likely one.
    pub sure: f64,
    /// The unit of both.
    #[serde(deserialize_with = "filled")]
    pub unit: &'static str,
    /// What lies beyond, in words.
    #[serde(deserialize_with = "filled")]
    pub words: &'static str,
    /// Where the figures come from.
    #[serde(deserialize_with = "filled")]
    pub source: &'static str,
}

/// How far a value reaches into a range of judgement.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reach {
    /// Before the range: no fault.
    Clear,
    /// Within it: a fault is possible.
    Possible,
    /// Beyond it: a fault is likely.
    Likely,
}

impl Threshold {
    /// How far `value`, in the threshold's unit, reaches; values count in the direction from
    /// `begins` to `sure`.
    pub fn judge(&self, value: f64) -> Reach {
        let sign = if self.sure < self.begins { -1.0 } else { 1.0 };
        let (value, begins, sure) = (value * sign, self.begins * sign, self.sure * sign);
        if value >= sure {
            Reach::Likely
        } else if value >= begins {
            Reach::Possible
        } else {
            Reach::Clear
        }
    }
}

/// The threshold of a name; `None` where the table has none, and nothing is judged by it.
pub fn threshold(name: &str) -> Option<&'static Threshold> {
    TABLE.iter().find(|t| t.name == name)
}

static TABLE: LazyLock<Vec<Threshold>> = LazyLock::new(|| FILE.load());

pub(crate) static FILE: File<Vec<Threshold>> =
    File::new("thresholds.csv", include_str!("../../band-tables/thresholds.csv"), |sheet| {
        sheet.rows(|row: Threshold, _| Ok(row))
    });

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ranges_count_in_their_own_direction() {
        let level = threshold("rsrp").unwrap();
        assert_eq!(level.judge(level.begins + 1.0), Reach::Clear);
        assert_eq!(level.judge(level.begins), Reach::Possible);
        assert_eq!(level.judge(level.sure - 1.0), Reach::Likely);
        let apart = threshold("branches").unwrap();
        assert_eq!(apart.judge(apart.begins - 1.0), Reach::Clear);
        assert_eq!(apart.judge(apart.sure), Reach::Likely);
    }

    #[test]
    fn every_name_stands_once() {
        for t in TABLE.iter() {
            assert_eq!(TABLE.iter().filter(|o| o.name == t.name).count(), 1, "{}", t.name);
        }
    }
}
