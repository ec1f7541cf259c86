//! `mastside survey`: samples at spots, kept line by line; tables, a page, and files for maps.

use super::{Exit, live, refuse, system};
use crate::at::Client;
use crate::sanitize::plain;
use crate::statistics::{Series, spread};
use crate::survey::file::{Found, SurveyFile, no_device};
use crate::survey::live::Live;
use crate::survey::output;
use crate::survey::position::Latest;
use crate::survey::reading::Source;
use crate::survey::sample::{Head, Sample};
use crate::survey::simulate::{Pace, Place, Walker};
use crate::survey::take::take;
use crate::survey::visits;
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
    /// Show the figures of a survey, as text or as one page
    Report {
        /// The survey file
        file: PathBuf,
        /// Write one self-contained page with plots
        #[arg(long, value_name = "FILE")]
        html: Option<PathBuf>,
    },
    /// Give the figures to other programs
    Export {
        /// The survey file
        file: PathBuf,
        /// The form
        #[arg(long, value_enum, default_value_t)]
        to: Form,
    },
}

#[derive(Clone, Copy, Debug, Default, ValueEnum)]
enum Form {
    /// For spreadsheets; no field begins a formula
    #[default]
    Csv,
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
    /// Stop when the 95 % bounds of the median are narrower than this, dB
    #[arg(long, value_name = "DB")]
    within: Option<f64>,
}

impl Survey {
    pub(super) fn run(self) -> Exit {
        match self.what {
            What::Record(record) => record.run(),
            What::Report { file, html } => report(&file, html.as_deref()),
            What::Export { file, to } => match visits::latest(&file) {
                Ok(visits::Visit { analysis, .. }) => {
                    let text = match to {
                        Form::Csv => output::csv(&analysis),
                        Form::Geojson => format!("{:#}\n", output::geojson(&analysis)),
                        Form::Gpx => output::gpx(&analysis),
                    };
                    if super::print(&text).is_ok() { Exit::Done } else { Exit::Unusable }
                }
                Err(error) => refuse(&error.to_string()),
            },
        }
    }
}

fn report(file: &Path, html: Option<&Path>) -> Exit {
    let analysis = match visits::latest(file) {
        Ok(visit) => visit.analysis,
        Err(error) => return refuse(&error.to_string()),
    };
    if analysis.damaged > 0 {
        eprintln!("mastside: {} lines could not be read and are left out", analysis.damaged);
    }
    if let Some(path) = html
        && let Err(error) = std::fs::write(path, output::page(&analysis))
    {
        return refuse(&format!("{}: {error}", path.display()));
    }
    if super::print(&output::table(&analysis)).is_ok() { Exit::Done } else { Exit::Unusable }
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
            ..Head::default()
        };
        let (mut file, found) = match SurveyFile::open(&self.file, &head) {
            Ok(open) => open,
            Err(error) => return refuse(&error.to_string()),
        };
        tell_found(found);
        let mut series = Series::new();
        let mut first = None;
        let mut go_on = |sample: &Sample, taken: u64| {
            let begun = *first.get_or_insert(sample.at);
            if let Some(level) = sample.levels.rsrp_dbm {
                series.push((sample.at - begun).num_milliseconds() as f64 / 1000.0, level);
            }
            let enough = taken.is_multiple_of(5) && self.enough(&series, taken, &sample.spot);
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

    /// Shows how far it is; says whether the bounds are as narrow as wished.
    fn enough(&self, series: &Series, taken: u64, spot: &str) -> bool {
        let Some(figures) = spread(series) else { return false };
        let width = figures.median_interval.map(crate::statistics::Interval::width);
        let enough = self.within.is_some_and(|wish| width.is_some_and(|w| w <= wish));
        if std::io::stderr().is_terminal() {
            let bounds =
                width.map_or_else(|| "too few yet".into(), |w| format!("median within {w:.1} dB"));
            let mark = if enough { " - enough here" } else { "" };
            eprint!(
                "\r\x1b[K{} {taken} samples, {:.1} dBm, fading {:.1} dB, {bounds}{mark}",
                plain(spot),
                figures.median,
                figures.fading_db
            );
            // The line is only for show.
            let _ = std::io::stderr().flush();
        }
        // Spots of a walk are told apart by the report; only a named spot is ended by its bounds.
        enough && !self.spot.is_empty()
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
