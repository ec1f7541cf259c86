//! `mastside watch report`: what the logs of watches say of their sites.

use crate::cli::{Exit, print, refuse};
use crate::sanitize::plain;
use crate::watch::report;
use std::path::PathBuf;

/// Show availability by day, outages by cause, and how often and how long, from the logs of watches
///
/// A log is read with all its old files, compressed ones too. A folder stands for the logs in it and in its folders.
///
/// Exit status: 0 no outage, 1 at least one, 2 unusable log or arguments.
#[derive(clap::Args, Debug)]
pub(super) struct Report {
    /// Logs, or folders with logs
    #[arg(required = true, value_name = "LOG")]
    logs: Vec<PathBuf>,

    /// Write one self-contained page, too
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
}

impl Report {
    pub(super) fn run(self) -> Exit {
        let sites = match report::read_all(&self.logs) {
            Ok(sites) => sites,
            Err(error) => return refuse(&error.to_string()),
        };
        if let Some(path) = &self.html
            && let Err(error) = std::fs::write(path, report::page(&sites))
        {
            return refuse(&plain(&format!("{}: {error}", path.display())));
        }
        if print(&report::text(&sites)).is_err() {
            return Exit::Unusable;
        }
        if sites.iter().all(|site| site.outages.is_empty()) { Exit::Done } else { Exit::Fault }
    }
}
