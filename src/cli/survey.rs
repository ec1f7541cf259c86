//! `mastside survey`: samples at spots, kept line by line; tables, a page, and files for maps.

use super::{Exit, live, refuse, system};
use crate::at::Client;
use crate::sanitize::plain;
use crate::statistics::{Plan, Series, spread};
use crate::survey::file::{Found, SurveyFile, no_device};
use crate::survey::live::Live;
use crate::survey::output;
use crate::survey::position::Latest;
use crate::survey::reading::Source;
use crate::survey::sample::{Head, Sample, SiteHead, VisitHead};
use crate::survey::simulate::{Pace, Place, Walker};
use crate::survey::take::take;
use crate::survey::visits::{self, Visit};
use clap::{Args, Subcommand, ValueEnum};
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

/// Measure signal at spots, and say what the measurements hold
#[derive(Args, Debug)]
pub(super) struct Survey {
    #[command(subcommand)]
    what: What,
}

#[derive(Subcommand, Debug)]
enum What {
    /// Take samples and write them down, each before it is shown
    Record(Record),
    /// Show the figures of surveys, as text or as one page, with each site's trend over its visits
    Report {
        /// Survey files, folders of sites, patterns; - for standard input
        #[arg(required = true)]
        files: Vec<PathBuf>,
        /// Write one self-contained page with plots
        #[arg(long, value_name = "FILE")]
        html: Option<PathBuf>,
    },
    /// Give the figures, or every sample, to other programs
    Export {
        /// Survey files, folders of sites, patterns; - for standard input
        #[arg(required = true)]
        files: Vec<PathBuf>,
        /// The form
        #[arg(long, value_enum, default_value_t)]
        to: Form,
    },
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum Form {
    /// A row a spot and cell, for spreadsheets; no field begins a formula
    #[default]
    Csv,
    /// A row a sample
    Samples,
    /// A row a sample, as Parquet
    #[cfg(feature = "parquet")]
    Parquet,
    /// RFC 7946
    Geojson,
    /// Way points
    Gpx,
}

#[derive(Args, Debug)]
struct Record {
    /// The survey file; an existing one is continued
    file: PathBuf,
    #[command(flatten)]
    line: live::LineArguments,
    /// The spot's name
    #[arg(long, default_value = "", hide_default_value = true)]
    spot: String,
    /// What the survey is called
    #[arg(long, default_value = "", hide_default_value = true)]
    title: String,
    /// The antenna, in your words
    #[arg(long, default_value = "", hide_default_value = true)]
    antenna: String,
    /// The site's name
    #[arg(long, default_value = "", hide_default_value = true)]
    site: String,
    /// The carrier at the site
    #[arg(long, default_value = "", hide_default_value = true)]
    carrier: String,
    /// The kind of device at the site
    #[arg(long, default_value = "", hide_default_value = true)]
    device: String,
    /// Who measures
    #[arg(long, default_value = "", hide_default_value = true)]
    who: String,
    /// Why the site is visited
    #[arg(long, default_value = "", hide_default_value = true)]
    why: String,
    /// Position sentences (NMEA 0183): a port, a file that a receiver's program writes, or
    /// tcp://host:port; a place counts for five seconds
    #[arg(long, value_name = "SOURCE")]
    positions: Option<String>,
    /// Samples of a simulated place instead of a modem
    #[arg(long, value_name = "PLACE", conflicts_with_all = ["port", "via"])]
    simulate: Option<PathBuf>,
    /// Simulate at the pace of a real modem
    #[arg(long, requires = "simulate")]
    live_pace: bool,
    /// Stop after so many samples
    #[arg(long, value_parser = clap::value_parser!(u64).range(1..))]
    count: Option<u64>,
    /// Measure the named spot until the 95 % bounds of its median are about this wide, dB
    ///
    /// A first stretch is measured, and from its spread the length is planned once: whoever stops when the
    /// bounds look narrow enough gets bounds that promise too much.
    #[arg(long, value_name = "DB", requires = "spot")]
    within: Option<f64>,
}

impl Survey {
    pub(super) fn run(self) -> Exit {
        match self.what {
            What::Record(record) => record.run(),
            What::Report { files, html } => report(&files, html.as_deref()),
            What::Export { files, to: Form::Samples } => {
                let mut table = output::SampleTable::new(std::io::stdout().lock());
                each_sample(&files, |site, head, sample| table.write(site, head, sample))
                    .unwrap_or_else(|| ended(table.finish()))
            }
            #[cfg(feature = "parquet")]
            What::Export { files, to: Form::Parquet } => parquet(&files),
            What::Export { files, to } => match read(&files) {
                Ok(visits) => {
                    let text = match to {
                        Form::Geojson => format!("{:#}\n", output::geojson(&visits)),
                        Form::Gpx => output::gpx(&visits),
                        _ => output::csv(&visits),
                    };
                    if super::print(&text).is_ok() { Exit::Done } else { Exit::Unusable }
                }
                Err(exit) => exit,
            },
        }
    }
}

/// Reads all visits, and says which lines are left out.
fn read(files: &[PathBuf]) -> Result<Vec<Visit>, Exit> {
    let visits = visits::read_all(files).map_err(|error| refuse(&error.to_string()))?;
    for visit in &visits {
        tell_problems(visit);
    }
    Ok(visits)
}

/// Says which lines of a survey are left out.
pub(super) fn tell_problems(visit: &Visit) {
    let problems = &visit.analysis.problems;
    let name = plain(&visit.path.display().to_string()).into_owned();
    for problem in &problems.first {
        eprintln!("mastside: {name}: {}", plain(&problem.to_string()));
    }
    let more = problems.count - problems.first.len() as u64;
    if more > 0 {
        eprintln!("mastside: {name}: {more} more lines are left out");
    }
}

/// Hands on every sample as it is read; gives the exit where that ends before its time.
fn each_sample(
    files: &[PathBuf],
    mut write: impl FnMut(&str, &Head, &Sample) -> std::io::Result<()>,
) -> Option<Exit> {
    let files = match visits::files(files) {
        Ok(files) => files,
        Err(error) => return Some(refuse(&error.to_string())),
    };
    for file in files {
        let mut written = Ok(());
        let read = visits::read_with(&file, &mut |head, sample| {
            if written.is_ok() {
                written = write(&visits::site_of(head, &file), head, sample);
            }
        });
        match (read, written) {
            (Ok(visits), Ok(())) => visits.iter().for_each(tell_problems),
            (Err(error), _) => return Some(refuse(&error.to_string())),
            // A reader that has seen enough is no error.
            (_, Err(_)) => return Some(Exit::Done),
        }
    }
    None
}

fn ended(written: std::io::Result<()>) -> Exit {
    match written {
        Ok(()) => Exit::Done,
        Err(error) => refuse(&error.to_string()),
    }
}

/// Writes every sample as Parquet, which is no text for a terminal.
#[cfg(feature = "parquet")]
fn parquet(files: &[PathBuf]) -> Exit {
    let out = std::io::stdout();
    if out.is_terminal() {
        return refuse("Parquet is not text: send the output to a file, `> samples.parquet`");
    }
    let mut rows = match output::SampleRows::new(std::io::BufWriter::new(out)) {
        Ok(rows) => rows,
        Err(error) => return refuse(&error.to_string()),
    };
    each_sample(files, |site, head, sample| rows.write(site, head, sample))
        .unwrap_or_else(|| ended(rows.finish()))
}

fn report(files: &[PathBuf], html: Option<&Path>) -> Exit {
    let visits = match read(files) {
        Ok(visits) => visits,
        Err(exit) => return exit,
    };
    let today = chrono::Local::now().date_naive();
    if let Some(path) = html
        && let Err(error) = std::fs::write(path, output::page(&visits, today))
    {
        return refuse(&format!("{}: {error}", path.display()));
    }
    let mut text = output::table(&visits);
    let trends = output::trends_text(&output::trends(&visits, today));
    if !trends.is_empty() {
        text.push_str(&format!("\nOver the visits:\n{trends}"));
    }
    if super::print(&text).is_ok() { Exit::Done } else { Exit::Unusable }
}

impl Record {
    fn run(self) -> Exit {
        if let Err(error) = no_device(&self.file) {
            return refuse(&error.to_string());
        }
        let stop = system::stop_flag();
        if let Some(path) = &self.simulate {
            let place = std::fs::read_to_string(path)
                .map_err(|e| e.to_string())
                .and_then(|t| Place::parse(&t).map_err(|e| e.to_string()));
            return match place {
                Ok(place) => {
                    let pace = if self.live_pace { Pace::Live } else { Pace::AtOnce };
                    self.take(&mut Walker::new(place, pace), true, &stop)
                }
                Err(error) => refuse(&format!("{}: {error}", path.display())),
            };
        }
        let (_, mut port) = match self.line.open() {
            Ok(open) => open,
            Err(exit) => return exit,
        };
        let mut client =
            Client::new(port.as_mut(), crate::port::Recorder::new(), &stop).telling(live::told);
        match Live::begin(&mut client, self.line.may_search()) {
            Ok(mut source) => {
                let exit = self.take(&mut source, false, &stop);
                live::told_left(&source.end());
                exit
            }
            Err(error) => refuse(&error.to_string()),
        }
    }

    fn take(&self, source: &mut dyn Source, rehearsal: bool, stop: &AtomicBool) -> Exit {
        let positions = match self.positions.as_deref().map(follow).transpose() {
            Ok(positions) => positions,
            Err(error) => return refuse(&error),
        };
        let head = Head {
            title: self.title.clone(),
            antenna: self.antenna.clone(),
            rehearsal,
            site: SiteHead {
                name: self.site.clone(),
                carrier: self.carrier.clone(),
                device: self.device.clone(),
                ..SiteHead::default()
            },
            visit: VisitHead { date: None, who: self.who.clone(), why: self.why.clone() },
            with_index: !rehearsal,
            ..Head::default()
        };
        let (mut file, found) = match SurveyFile::open(&self.file, &head) {
            Ok(open) => open,
            Err(error) => return refuse(&error.to_string()),
        };
        tell_found(found);
        let mut series = Series::new();
        let mut plan = self.within.map(Plan::new);
        let mut first = None;
        let mut go_on = |sample: &Sample, taken: u64| {
            let begun = *first.get_or_insert(sample.at);
            if let Some(level) = sample.levels.rsrp_middle_dbm() {
                series.push((sample.at - begun).num_milliseconds() as f64 / 1000.0, level);
            }
            let enough =
                taken.is_multiple_of(5) && Self::enough(&series, &mut plan, taken, &sample.spot);
            !enough && self.count.is_none_or(|most| taken < most)
        };
        let pass = found.pass + 1;
        let places = positions.as_ref();
        match take(source, &mut file, pass, &self.spot, places, stop, &mut go_on) {
            Ok(taken) => {
                eprintln!(
                    "\n{taken} samples recorded in {}.",
                    plain(&file.path().display().to_string())
                );
                if taken > 0 { Exit::Done } else { Exit::Unclear }
            }
            Err(error) => refuse(&error.to_string()),
        }
    }

    /// Shows how far it is; says whether as much is measured as was planned.
    fn enough(series: &Series, plan: &mut Option<Plan>, taken: u64, spot: &str) -> bool {
        let enough = plan.as_mut().is_some_and(|plan| plan.is_done(series));
        if std::io::stderr().is_terminal()
            && let Some(figures) = spread(series)
        {
            let bounds = figures.median_interval.map_or_else(
                || "too short for bounds yet".into(),
                |i| format!("median within {:.1} dB", i.width()),
            );
            let planned = match plan.map(|p| p.planned()) {
                None => String::new(),
                Some(None) => ", first stretch".into(),
                Some(Some(samples)) => format!(" of {samples} planned"),
            };
            eprint!(
                "\r\x1b[K{} {taken} samples{planned}, {:.1} dBm, fading {:.1} dB, {bounds}",
                plain(spot),
                figures.median,
                figures.fading_db
            );
            // The line is only for show.
            let _ = std::io::stderr().flush();
        }
        enough
    }
}

/// Says what an existing survey file already holds.
pub(super) fn tell_found(found: Found) {
    if found.samples > 0 {
        eprintln!("{} samples are there already; this is pass {}.", found.samples, found.pass + 1);
    }
    if found.torn_bytes > 0 {
        eprintln!(
            "An unfinished last line ({} bytes) was cut off; it was never shown as recorded.",
            found.torn_bytes
        );
    }
}

/// A file that another program goes on writing: its end is where more is waited for.
struct Growing(std::fs::File);

impl std::io::Read for Growing {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        const PAUSE: std::time::Duration = std::time::Duration::from_millis(200);
        loop {
            match std::io::Read::read(&mut self.0, buffer)? {
                0 => std::thread::sleep(PAUSE),
                n => return Ok(n),
            }
        }
    }
}

/// Follows position sentences.
fn follow(source: &str) -> Result<Latest, String> {
    if let Some(address) = source.strip_prefix("tcp://") {
        return std::net::TcpStream::connect(address)
            .map(Latest::follow)
            .map_err(|e| format!("{source}: {e}"));
    }
    let fail = |e: std::io::Error| format!("{source}: {e}");
    let file = std::fs::File::open(source).map_err(fail)?;
    let written_on = file.metadata().map_err(fail)?.is_file();
    Ok(if written_on { Latest::follow(Growing(file)) } else { Latest::follow(file) })
}
