//! What `--version` says: the version, the commit where it is known, the date of the tables.

/// The version, as `-V` prints it.
pub(super) const SHORT: &str = env!("CARGO_PKG_VERSION");

/// The version with its commit, where it is known, and the date of the tables, as `--version` prints it.
pub(super) const LONG: &str = concat!(
    env!("CARGO_PKG_VERSION"),
    env!("MASTSIDE_COMMIT"),
    "\ntables of ",
    env!("MASTSIDE_TABLES")
);
