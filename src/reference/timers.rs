//! Timers and counters that decide when a modem tries again.

use super::table::{Row, Table, TableError};

/// One timer.
#[derive(Clone, Debug)]
pub struct Timer {
    /// Its name: `T3402`.
    pub name: &'static str,
    /// The layer that runs it.
    pub layer: &'static str,
    /// Its value, with the unit.
    pub value: &'static str,
    /// Whether the value is fixed, a default, or given by the network.
    pub kind: &'static str,
    /// The clause.
    pub clause: &'static str,
    /// What it does.
    pub meaning: &'static str,
    /// Whether two independent places or more agree.
    pub verified: bool,
}

/// The timers of a name.
pub fn named(name: &str) -> Vec<&'static Timer> {
    TABLE.get().iter().filter(|t| t.name.eq_ignore_ascii_case(name)).collect()
}

pub(crate) static TABLE: Table<Vec<Timer>> =
    Table::new("timers.csv", include_str!("../../band-tables/timers.csv"), |sheet| {
        sheet.rows(read)
    });

fn read(row: &Row<'_>) -> Result<Timer, TableError> {
    Ok(Timer {
        name: row.filled("name")?,
        layer: row.text("layer")?,
        value: row.text("value")?,
        kind: row.text("kind")?,
        clause: row.text("clause")?,
        meaning: row.filled("meaning")?,
        verified: row.one_of("standing", &[("verified", true), ("unverified", false)])?,
    })
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_pause_after_five_failed_attempts_is_there() {
        // TS 24.301 table 10.2.1.
        assert_eq!(super::named("T3402")[0].value, "12 min");
    }
}
