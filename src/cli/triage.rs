//! `mastside triage`: many captures in, one row each out, or the overview of their sites.

use super::{Exit, refuse, system};
use crate::explanation::{Basis, View};
use crate::triage::{self, Ended, Fleet, Judge, Overview, Progress, Row, rows, source};
use chrono::TimeDelta;
use clap::{Args, ValueEnum};
use std::collections::HashMap;
use std::fs::{File, OpenOptions};
use std::io::{self, BufWriter, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::time::Instant;

/// Explain many captures at once
///
/// Reads folders, files and JSON Lines, one record a line: {"site": …, "at": …, "text": …}, with tags, latitude and
/// longitude where they are known. Shows the sites worst first: which fail alike, who has to act, what the failing
/// ones share. A record that cannot be used is listed with the reason.
///
/// Exit status: 0 done, 1 done and something needs attention, 2 unusable input; with --format jsonl 0 once every
/// record has its row, whatever the findings.
#[derive(Args, Debug)]
pub(super) struct Triage {
    /// Folders, files, or `-` for JSON Lines on standard input
    #[arg(value_name = "PATH", default_value = "-")]
    paths: Vec<PathBuf>,

    /// How to print the result
    #[arg(long, value_enum, default_value_t)]
    format: Form,

    /// Write a self-contained page with groups, a map and a table of all sites
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,

    /// Write the rows of all records as Parquet
    #[cfg(feature = "parquet")]
    #[arg(long, value_name = "FILE", conflicts_with = "from")]
    parquet: Option<PathBuf>,

    /// Where the sites are: GeoJSON, points with a property `site`
    #[arg(long, value_name = "FILE")]
    positions: Option<PathBuf>,

    /// Write to this file instead of standard output
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,

    /// Go on where an earlier run of the same records into the same --output stopped
    #[arg(long, requires = "output")]
    resume: bool,

    /// Read rows of an earlier run (files or folders) instead of captures
    #[arg(long, value_name = "PATH", conflicts_with_all = ["paths", "resume"])]
    from: Vec<PathBuf>,

    /// Rows of an earlier run: shows what is new, worse, better and cured since then
    #[arg(long, value_name = "PATH")]
    since: Vec<PathBuf>,

    /// A site is stale when its latest record is so many hours older than the newest of all; 48 without it
    #[arg(long, value_name = "HOURS", value_parser = clap::value_parser!(u16).range(1..))]
    stale: Option<u16>,

    /// A directory with carrier profiles, beside the shipped ones and your own
    #[arg(long, value_name = "DIR", value_parser = super::carrier::directory)]
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
    /// For a terminal: groups, worst first
    #[default]
    Text,
    /// One JSON object a record, in the order of the records, each as soon as it is there
    Jsonl,
    /// For spreadsheets: one line a site
    Csv,
    /// One JSON object with the groups and what they share
    Json,
}

impl Triage {
    pub(super) fn run(self) -> Exit {
        if self.resume && self.format != Form::Jsonl {
            return refuse("--resume goes on with rows: it needs --format jsonl");
        }
        if self.format == Form::Jsonl && self.html.is_none() {
            let unused = [
                ("--positions", self.positions.is_some()),
                ("--since", !self.since.is_empty()),
                ("--stale", self.stale.is_some()),
            ];
            if let Some((option, _)) = unused.into_iter().find(|(_, given)| *given) {
                return refuse(&format!(
                    "{option} is for an overview: with --format jsonl it needs --html"
                ));
            }
        }
        match self.all() {
            Ok(exit) => exit,
            Err(why) => refuse(&why),
        }
    }

    fn all(&self) -> Result<Exit, String> {
        // What cannot be read or written is known before the records are answered, which may take hours.
        let earlier = match self.since.as_slice() {
            [] => None,
            paths => Some(gathered(paths)?),
        };
        let places = self.positions.as_deref().map(positions).transpose()?;
        for path in
            self.html.iter().chain(self.output.iter().filter(|_| self.format != Form::Jsonl))
        {
            let mut writes = OpenOptions::new();
            let writes = writes.write(true).create(true).truncate(false);
            writes.open(path).map_err(|e| format!("{}: {e}", path.display()))?;
        }
        let known = Known { earlier, places };
        if !self.from.is_empty() {
            if self.format == Form::Jsonl {
                return Err(
                    "--from reads rows, and --format jsonl would write the same again".into()
                );
            }
            return self.show(gathered(&self.from)?, &known, Ended::Whole);
        }
        let mut fleet = Fleet::default();
        let ended = self.rows(&mut fleet)?;
        if self.format != Form::Jsonl {
            return self.show(fleet, &known, ended);
        }
        if self.html.is_some() && !fleet.sites.is_empty() {
            known.place(&mut fleet);
            self.page(&known.overview(&fleet, self.stale()))?;
        }
        Ok(if ended == Ended::Whole { Exit::Done } else { Exit::Fault })
    }

    /// Answers all records; rows go out as they come, and into the fleet where it is shown afterwards.
    fn rows(&self, fleet: &mut Fleet) -> Result<Ended, String> {
        let jsonl = self.format == Form::Jsonl;
        let (mut out, known) = self.out(jsonl)?;
        #[cfg(feature = "parquet")]
        let mut parquet = match &self.parquet {
            Some(path) => {
                let named = |error: &dyn std::fmt::Display| format!("{}: {error}", path.display());
                let file = File::create(path).map_err(|e| named(&e))?;
                Some(triage::ParquetRows::begin(BufWriter::new(file)).map_err(|e| named(&e))?)
            }
            None => None,
        };
        let shown = !jsonl || self.html.is_some();
        let form = |row: Row| (jsonl.then(|| row.line()), row);
        let ended = self.answer(known, form, |rows| {
            for (line, row) in rows {
                if let Some(line) = line {
                    out.write_all(line.as_bytes())?;
                }
                #[cfg(feature = "parquet")]
                if let Some(file) = &mut parquet {
                    file.push(row.clone()).map_err(io::Error::other)?;
                }
                if shown {
                    fleet.add(row);
                }
            }
            out.flush()
        })?;
        #[cfg(feature = "parquet")]
        if let Some(file) = parquet {
            file.end().map_err(|e| e.to_string())?;
        }
        Ok(ended)
    }

    /// Where rows go, and how many are there already.
    fn out(&self, jsonl: bool) -> Result<(BufWriter<Box<dyn Write>>, u64), String> {
        let (out, known): (Box<dyn Write>, u64) = match &self.output {
            Some(path) if jsonl => {
                let (file, known) =
                    opened(path, self.resume).map_err(|e| format!("{}: {e}", path.display()))?;
                (Box::new(file), known)
            }
            _ => (Box::new(io::stdout()), 0),
        };
        Ok((BufWriter::with_capacity(1 << 18, out), known))
    }

    /// Writes the page.
    fn page(&self, overview: &Overview<'_>) -> Result<(), String> {
        let Some(path) = &self.html else { return Ok(()) };
        write_whole(path, triage::page(overview).as_bytes())
    }

    fn stale(&self) -> TimeDelta {
        TimeDelta::hours(self.stale.unwrap_or(48).into())
    }

    /// Explains all records but the first `known`.
    fn answer<T: Send>(
        &self,
        known: u64,
        form: impl Fn(Row) -> T + Sync,
        mut take: impl FnMut(Vec<T>) -> io::Result<()>,
    ) -> Result<Ended, String> {
        let (profiles, _) = super::carrier::load(&self.profiles);
        if let Some(name) = &self.carrier
            && profiles.named(name).is_none()
        {
            return Err(crate::carrier::UnknownProfile(name.clone()).to_string());
        }
        let basis = Basis { carrier: self.carrier.as_deref(), ..Basis::of(&profiles) };
        let judge = Judge { basis, view: View { unmask: self.unmask, ..View::default() } };
        let files = source::files(&self.paths);
        let mut show = Shown::of(&files);
        let stop = system::stop_flag();
        let ended = triage::run(files, known, &judge, &stop, form, |rows, progress| {
            take(rows)?;
            show.update(progress);
            Ok(())
        });
        show.end();
        let ended = ended.map_err(|e| e.to_string())?;
        if ended == Ended::Stopped {
            let how = if self.output.is_some() && self.format == Form::Jsonl {
                "; the same command with --resume goes on from there"
            } else {
                ""
            };
            eprintln!("mastside: stopped after {} records{how}", known + show.last.records);
        }
        Ok(ended)
    }

    fn show(&self, mut fleet: Fleet, known: &Known, ended: Ended) -> Result<Exit, String> {
        if fleet.sites.is_empty() {
            return Err("there is no record to explain".into());
        }
        known.place(&mut fleet);
        let overview = known.overview(&fleet, self.stale());
        self.page(&overview)?;
        let mut page = Vec::new();
        match self.format {
            Form::Csv => triage::csv(&overview, &mut page).map_err(|e| e.to_string())?,
            Form::Json => page = format!("{:#}\n", triage::json(&overview)).into_bytes(),
            Form::Text | Form::Jsonl => {
                let mut text = String::new();
                // Writing to a string cannot fail.
                let _ = triage::text(&overview, super::width(), &mut text);
                page = text.into_bytes();
            }
        }
        match &self.output {
            Some(path) => write_whole(path, &page)?,
            None => super::print(&String::from_utf8_lossy(&page)).map_err(|e| e.to_string())?,
        }
        let attention = ended == Ended::Stopped || overview.needs_attention();
        Ok(if attention { Exit::Fault } else { Exit::Done })
    }
}

/// Where sites are, by their names.
type Places = HashMap<String, (f64, f64)>;

/// What is known beside the records.
struct Known {
    earlier: Option<Fleet>,
    places: Option<Places>,
}

impl Known {
    fn place(&self, fleet: &mut Fleet) {
        if let Some(places) = &self.places {
            fleet.place(places);
        }
    }

    fn overview<'f>(&'f self, fleet: &'f Fleet, stale: TimeDelta) -> Overview<'f> {
        Overview::of(fleet, self.earlier.as_ref(), stale)
    }
}

fn positions(path: &Path) -> Result<Places, String> {
    let named = |error: String| format!("{}: {error}", path.display());
    let text = std::fs::read_to_string(path).map_err(|e| named(e.to_string()))?;
    triage::positions(&text).map_err(named)
}

/// The fleet of the rows of an earlier run.
fn gathered(paths: &[PathBuf]) -> Result<Fleet, String> {
    let mut fleet = Fleet::default();
    rows::read(paths, |row| fleet.add(row)).map_err(|e| e.to_string())?;
    Ok(fleet)
}

/// Opens a file for rows; with `resume` behind those that it has. A torn last row is cut off.
fn opened(path: &Path, resume: bool) -> io::Result<(File, u64)> {
    if !resume || !path.exists() {
        return Ok((File::create(path)?, 0));
    }
    let (rows, bytes) = rows::whole_rows(path)?;
    let file = OpenOptions::new().append(true).open(path)?;
    file.set_len(bytes)?;
    Ok((file, rows))
}

fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), String> {
    std::fs::write(path, bytes).map_err(|e| format!("{}: {e}", path.display()))
}

/// The line on a terminal that shows how far the run is.
struct Shown {
    begun: Instant,
    told: Instant,
    /// All bytes, where they are known before.
    all: Option<u64>,
    last: Progress,
    terminal: bool,
}

impl Shown {
    fn of(files: &[PathBuf]) -> Self {
        let size = |path: &PathBuf| {
            std::fs::metadata(path).ok().filter(std::fs::Metadata::is_file).map(|m| m.len())
        };
        let now = Instant::now();
        let all = files.iter().map(size).sum();
        let terminal = io::stderr().is_terminal();
        Self { begun: now, told: now, all, last: Progress::default(), terminal }
    }

    fn update(&mut self, progress: Progress) {
        self.last = progress;
        if self.terminal && self.told.elapsed().as_millis() >= 200 {
            self.told = Instant::now();
            eprint!("\r\x1b[K{}", far(progress, self.all, self.begun.elapsed().as_secs_f64()));
        }
    }

    fn end(&self) {
        if self.terminal {
            eprint!("\r\x1b[K");
        }
    }
}

/// How far a run is after so many seconds, in words.
fn far(progress: Progress, all: Option<u64>, seconds: f64) -> String {
    let rate = progress.records as f64 / seconds.max(1e-3);
    let left = all.filter(|_| progress.bytes > 0).map(|all| {
        let share = progress.bytes as f64 / all.max(1) as f64;
        let left = seconds * (1.0 / share - 1.0).max(0.0);
        format!(", {:.0} %, {left:.0} s left", (share * 100.0).min(100.0))
    });
    format!("{} records, {rate:.0} a second{}", progress.records, left.unwrap_or_default())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn progress_has_a_rate_and_the_time_left_where_the_size_is_known() {
        let progress = Progress { records: 500, bytes: 1000 };
        assert_eq!(far(progress, Some(4000), 2.0), "500 records, 250 a second, 25 %, 6 s left");
        assert_eq!(far(progress, None, 2.0), "500 records, 250 a second");
        assert_eq!(far(Progress::default(), Some(0), 0.0), "0 records, 0 a second");
    }
}
