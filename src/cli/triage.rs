//! `mastside triage`: many captures in, one row each out.

use super::{Exit, refuse, system};
use crate::explanation::{Basis, View};
use crate::triage::{Ended, Judge, Row, run, source};
use clap::{Args, ValueEnum};
use std::io::{self, BufWriter, Write};
use std::path::PathBuf;

/// Explain many captures at once
///
/// Reads folders, files and JSON Lines, one record a line: {"site": …, "at": …, "text": …}, with tags, latitude and
/// longitude where they are known. A record that cannot be used gets a row that says why.
///
/// Exit status: 0 done, 1 done and something needs attention, 2 unusable input; with --format jsonl 0 once every
/// record has its row.
#[derive(Args, Debug)]
pub(super) struct Triage {
    /// Folders, files, or `-` for JSON Lines on standard input
    #[arg(value_name = "PATH", default_value = "-")]
    paths: Vec<PathBuf>,

    /// How to print the result
    #[arg(long, value_enum, default_value_t)]
    format: Form,

    /// A directory with carrier profiles, beside the shipped ones and your own
    #[arg(long, value_name = "DIR")]
    profiles: Vec<PathBuf>,

    /// The carrier of all cards, by the name of its profile
    #[arg(long, value_name = "NAME")]
    carrier: Option<String>,

    /// Print subscriber and equipment identities in full
    #[arg(long)]
    unmask: bool,
}

/// The form of the result.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum Form {
    /// One JSON object a record, in the order of the records, each as soon as it is there
    #[default]
    Jsonl,
}

impl Triage {
    pub(super) fn run(self) -> Exit {
        let (profiles, _) = super::carrier::load(&self.profiles);
        let basis = Basis { carrier: self.carrier.as_deref(), ..Basis::of(&profiles) };
        if let Some(name) = &self.carrier
            && profiles.named(name).is_none()
        {
            return refuse(&crate::carrier::UnknownProfile(name.clone()).to_string());
        }
        let judge = Judge { basis, view: View { unmask: self.unmask, ..View::default() } };
        let stop = system::stop_flag();
        let mut out = BufWriter::new(io::stdout().lock());
        let ended = run(source::files(&self.paths), 0, &judge, &stop, Row::into_line, |rows, _| {
            rows.iter().try_for_each(|row| out.write_all(row.as_bytes()))?;
            out.flush()
        });
        match ended {
            Ok(Ended::Whole) => Exit::Done,
            Ok(Ended::Stopped) => Exit::Fault,
            Err(error) => refuse(&error.to_string()),
        }
    }
}
