//! `mastside watch`: one modem watched unattended, with a log.

mod host;
mod report;

use super::{Exit, live, measure, refuse, system};
use crate::explanation::Basis;
use crate::sanitize::plain;
use crate::watch::{self, Figures, Limits, Log, Probe, Settings};
use host::Computer;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

/// Watch a modem unattended, with a log that survives a kill
///
/// Everything asked is a read that changes nothing; settings that a read needs are put back at the end. Each line is
/// on the disk before it is shown. At an outage the modem is examined at once; the dialogue is kept, and its verdict
/// goes into the log. The port is held for this program alone; a port that is away or held by another program is
/// waited for.
///
/// SIGHUP puts the log away and begins another. With systemd, use Type=notify; the watchdog is served.
///
/// Exit status: 0 ended as asked and no outage was seen, 1 at least one was, 2 unusable arguments, log or port.
#[derive(clap::Args, Debug)]
#[command(args_conflicts_with_subcommands = true)]
pub(super) struct Watch {
    #[command(subcommand)]
    what: Option<What>,

    #[command(flatten)]
    line: live::LineArguments,

    /// How often to read: a number with ms, s, min, h or d; each reading is up to a tenth earlier or later
    #[arg(long, value_name = "SPAN", value_parser = measure::span, default_value = "30s")]
    every: Duration,

    /// How long to watch: a number with ms, s, min, h or d; until stopped without it
    #[arg(long = "for", value_name = "SPAN", value_parser = measure::span)]
    lasts: Option<Duration>,

    /// The log (JSON Lines); an existing one is continued
    #[arg(long, value_name = "FILE", default_value = "watch.jsonl")]
    log: PathBuf,

    /// Put the log away when it is larger than this, and at each day's end (UTC); old ones are compressed
    #[arg(long, value_name = "SIZE", value_parser = measure::size, default_value = "16M")]
    rotate_at: u64,

    /// Old logs and dialogues together take no more than this; the oldest are deleted
    #[arg(long, value_name = "SIZE", value_parser = measure::size, default_value = "512M")]
    keep: u64,

    /// Where the dialogues of examinations are kept; beside the log without it
    #[arg(long, value_name = "DIR")]
    captures: Option<PathBuf>,

    /// The site's name, for reports
    #[arg(long, default_value = "", hide_default_value = true)]
    site: String,

    /// A level under this counts as low, dBm; without it, where the technology has little to spare
    #[arg(long, value_name = "DBM", allow_negative_numbers = true)]
    low: Option<f64>,

    /// Connect to this host (HOST or HOST:PORT, TCP) at the interval; three times no answer while the modem is
    /// registered is an outage, a refused connection is an answer. Goes by this computer's own routes without
    /// --probe-interface
    #[arg(long, value_name = "HOST")]
    probe: Option<String>,

    /// The modem's network interface, such as wwan0: the probe leaves by it whatever the routes are (Linux)
    #[arg(long, value_name = "NAME", requires = "probe")]
    probe_interface: Option<String>,

    /// Serve metrics at http://ADDRESS/metrics (OpenMetrics and the classic text format), for this computer alone
    #[arg(long, value_name = "ADDRESS", value_parser = loopback, conflicts_with = "listen_on_network")]
    listen: Option<SocketAddr>,

    /// The same on any address: everybody who reaches it can read
    #[arg(long, value_name = "ADDRESS")]
    listen_on_network: Option<SocketAddr>,

    /// Show each reading, too
    #[arg(long)]
    show: bool,

    /// A directory with carrier profiles
    #[arg(long, value_name = "DIR", value_parser = super::carrier::directory)]
    profiles: Vec<PathBuf>,

    /// A file with your team's own notes, steps and contacts
    #[arg(long, value_name = "FILE")]
    team: Option<PathBuf>,
}

#[derive(clap::Subcommand, Debug)]
enum What {
    Report(report::Report),
}

impl Watch {
    pub(super) fn run(mut self) -> Exit {
        match self.what.take() {
            Some(What::Report(report)) => report.run(),
            None => self.watch(),
        }
    }

    fn watch(self) -> Exit {
        let team = match super::team(self.team.as_deref()) {
            Ok(team) => team,
            Err(exit) => return exit,
        };
        let (profiles, _) = super::carrier::load(&self.profiles);
        let captures = self.captures.clone().unwrap_or_else(|| beside(&self.log));
        let every_s = self.every.as_secs_f64();
        let head = watch::Head::of(&self.site, every_s, self.low, self.probe.is_some());
        let limits = Limits { file: self.rotate_at, whole: self.keep };
        let log = match Log::open(&self.log, &captures, head, limits, chrono::Utc::now()) {
            Ok(log) => log,
            Err(error) => return refuse(&error.to_string()),
        };
        let settings = Settings {
            every: self.every,
            lasts: self.lasts,
            low_dbm: self.low,
            captures,
            search_speed: self.line.may_search(),
            seed: u64::from(std::process::id()),
        };
        let signals = system::WatchSignals::catch();
        let figures = Arc::new(Figures::default());
        if let Some(address) = self.listen.or(self.listen_on_network) {
            match watch::listen(address, Arc::clone(&figures)) {
                Ok(there) => live::say(&format!("Metrics: http://{there}/metrics")),
                Err(error) => return refuse(&format!("cannot listen on {address}: {error}")),
            }
        }
        let probe = self.probe.as_deref();
        let probe =
            probe.map(|host| Probe::start(host, self.probe_interface.as_deref(), self.every));
        let mut computer = Computer::new(&self.line, &signals, probe, self.show);
        let basis = Basis { team: Some(&team), ..Basis::of(&profiles) };
        system::notify_ready(&format!("log in {}", self.log.display()));
        let watch = watch::Watch::new(&mut computer, log, &figures, settings, basis, &signals.stop);
        let ended = watch.run();
        system::notify_stopping();
        match ended {
            Ok(summary) if summary.outages == 0 && !summary.is_out => Exit::Done,
            Ok(_) => Exit::Fault,
            Err(error) => refuse(&plain(&error.to_string())),
        }
    }
}

/// An address that this computer alone reaches.
fn loopback(text: &str) -> Result<SocketAddr, String> {
    let address: SocketAddr = text.parse().map_err(|e| format!("{e}; as in 127.0.0.1:9750"))?;
    if address.ip().is_loopback() {
        Ok(address)
    } else {
        Err("not an address of this computer alone: --listen-on-network takes any".into())
    }
}

/// The folder of the dialogues beside a log.
fn beside(log: &Path) -> PathBuf {
    let stem = log.file_stem().unwrap_or_default().to_string_lossy();
    log.with_file_name(format!("{stem}-captures"))
}
