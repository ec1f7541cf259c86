//! Timers and counters that decide when a modem tries again.

use super::table::{File, Sheet, Source, Standing, TableError, filled};
use serde::Deserialize;
use std::sync::LazyLock;

/// One timer.
#[derive(Clone, Debug)]
pub struct Timer {
    /// Its name: `T3402`.
    pub name: &'static str,
    /// The layer that runs it.
    pub layer: &'static str,
    /// Its value, with the unit.
    pub value: &'static str,
    /// Its value in NB-IoT, where that differs.
    pub nb_iot: &'static str,
    /// Whether the value is fixed, a default, or given by the network.
    pub kind: &'static str,
    /// What it does.
    pub meaning: &'static str,
    /// Where the row comes from.
    pub source: Source,
}

/// Every timer, in the order of the table.
pub fn all() -> &'static [Timer] {
    &TABLE
}

/// The timers of a name.
pub fn named(name: &str) -> Vec<&'static Timer> {
    TABLE.iter().filter(|t| t.name.split('/').any(|own| own.eq_ignore_ascii_case(name))).collect()
}

static TABLE: LazyLock<Vec<Timer>> = LazyLock::new(|| FILE.load());

pub(crate) static FILE: File<Vec<Timer>> =
    File::new("timers.csv", include_str!("../../band-tables/timers.csv"), read);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    #[serde(deserialize_with = "filled")]
    name: &'static str,
    layer: &'static str,
    value: &'static str,
    #[serde(default)]
    nb_iot: &'static str,
    kind: &'static str,
    clause: &'static str,
    #[serde(deserialize_with = "filled")]
    meaning: &'static str,
    standing: Standing,
    read_in: &'static str,
}

fn read(sheet: &Sheet<'_>) -> Result<Vec<Timer>, TableError> {
    sheet.rows(|row: Row, _| {
        Ok(Timer {
            name: row.name,
            layer: row.layer,
            value: row.value,
            nb_iot: row.nb_iot,
            kind: row.kind,
            meaning: row.meaning,
            source: Source::new(row.clause, row.standing, row.read_in, ""),
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reference::causes::{CauseList, causes};

    #[test]
    fn the_pause_after_five_failed_attempts_is_there() {
        // TS 24.301 table 10.2.1.
        assert_eq!(named("T3402")[0].value, "12 min");
        // TS 24.301 §4.7: a timer of mobility management is 240 s longer in NB-S1 mode.
        assert_eq!(named("T3410")[0].nb_iot, "255 s");
    }

    #[test]
    fn every_timer_that_a_cause_names_has_a_row() {
        for cause in CauseList::ALL.into_iter().flat_map(causes) {
            for name in cause.timer_names() {
                assert!(!named(name).is_empty(), "{name} of {} {}", cause.list.word(), cause.first);
            }
        }
    }
}
