//! What the commands that talk to a modem share: the line, the recording, and stopping with Ctrl-C.

use super::{Exit, system};
use crate::at::{Client, Notice};
use crate::live::{Journal, Probed, Progress, by_modem, is_named, name_among, probe_all};
use crate::port::{self, OpenError, Port, Recorder, Speaks};
use std::io::{IsTerminal, Write};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Where the modem is.
#[derive(clap::Args, Debug)]
pub(super) struct LineArguments {
    /// The modem's port: a path, tcp://host:port, or a modem's name from `mastside ports` (usb:… or
    /// imei:…, the last digits suffice); looked for where it is left away
    pub port: Option<String>,

    /// The speed of a serial line; 115200 first, and the usual others where nothing answers
    #[arg(long)]
    pub baud: Option<u32>,

    /// A command whose standard streams lead to the modem, as in "ssh gateway 'stty -F /dev/ttyUSB2
    /// raw -echo; cat /dev/ttyUSB2 & trap \"kill $!\" EXIT; cat >/dev/ttyUSB2'"; its input ends with
    /// the run
    #[arg(long, value_name = "COMMAND", conflicts_with = "port")]
    pub via: Option<String>,

    /// Let the link drop although the path to the modem may lead over that link
    #[arg(long)]
    pub path_may_drop: bool,
}

/// An open line with its recording and journal.
pub(super) struct Visit {
    port: Box<dyn Port>,
    recorder: Option<Recorder>,
    stop: Arc<AtomicBool>,
    /// Where the dialogue is saved.
    pub path: PathBuf,
    /// The journal of this computer.
    pub journal: Journal,
    /// The line as a later command names it.
    pub named: String,
}

impl Visit {
    /// Opens the line and the recording, and warns of radios that an earlier run left off.
    pub(super) fn begin(
        line: &LineArguments,
        record: Option<&PathBuf>,
        what: &str,
    ) -> Result<Self, Exit> {
        let (name, port) = line.open()?;
        let (path, recorder) = recorder(record, what)?;
        let journal = Journal::of_user(&name);
        warn_of_radios(&journal);
        let stop = system::stop_flag();
        let named = match &line.via {
            Some(command) => format!("--via '{}'", command.replace('\'', "'\\''")),
            None => line.port.clone().unwrap_or(name),
        };
        Ok(Self { port, recorder: Some(recorder), stop, path, journal, named })
    }

    /// The client of the modem on the line; the first call takes the recording.
    pub(super) fn client(&mut self) -> Client<'_> {
        self.client_telling(told)
    }

    /// The same, with a way of its own to tell what happens to the line.
    pub(super) fn client_telling(&mut self, notice: fn(Notice)) -> Client<'_> {
        let recorder = self.recorder.take().unwrap_or_default();
        Client::new(self.port.as_mut(), recorder, &self.stop).telling(notice)
    }
}

/// Warns of radios that a run switched off and did not see on again.
fn warn_of_radios(journal: &Journal) {
    for entry in journal.radios_off() {
        say(&crate::sanitize::plain(&format!(
            "Warning: a run of {} switched the radio at {} off and did not see it on again. \
             To switch it on: mastside amend radio {} (it sends {})",
            entry.at, entry.port, entry.port, entry.command
        )));
    }
    for (path, why) in journal.unreadable_radios() {
        say(&crate::sanitize::plain(&format!(
            "Warning: {} cannot be read: {why}. It may name a radio that a run switched off and did not see on \
             again: AT+CFUN? must give 1. Delete it once that is so.",
            path.display()
        )));
    }
}

/// The speed that most modems have.
const USUAL_SPEED: u32 = 115_200;

impl LineArguments {
    /// The speed to begin with.
    fn speed(&self) -> u32 {
        self.baud.unwrap_or(USUAL_SPEED)
    }

    /// Waits until the port is there, as behind a modem's power-on, at most `most`; says so once.
    pub(super) fn wait_for_port(&self, most: Duration) {
        const TURN: Duration = Duration::from_millis(500);
        let stop = system::stop_flag();
        let begun = Instant::now();
        if self.is_there() {
            return;
        }
        say(
            "The port is not there yet; waiting for it. A modem takes up to 40 s to show its ports.",
        );
        while !self.is_there() && begun.elapsed() < most && !stop.load(Ordering::Relaxed) {
            std::thread::sleep(TURN);
        }
        if self.is_there() {
            say(&format!("The port is there after {} s.", begun.elapsed().as_secs()));
            // Its owner and rights are set a moment later.
            std::thread::sleep(TURN);
        }
    }

    /// Whether the port exists, as far as its name tells without asking the modem.
    fn is_there(&self) -> bool {
        match self.port.as_deref() {
            Some(port) if port.starts_with("tcp://") || port.starts_with("imei:") => true,
            Some(usb) if usb.starts_with("usb:") => {
                let is_it = |own: &str| own.eq_ignore_ascii_case(usb);
                port::candidates().iter().any(|c| c.usb.as_deref().is_some_and(is_it))
            }
            Some(path) => std::path::Path::new(path).exists(),
            None => self.via.is_some() || !port::candidates().is_empty(),
        }
    }

    /// Whether a line was named.
    pub(super) const fn is_named(&self) -> bool {
        self.port.is_some() || self.via.is_some()
    }

    /// Whether this run may drop the link, as far as the path is concerned that it comes over.
    pub(super) fn may_drop(&self) -> Result<(), Exit> {
        if self.path_may_drop {
            return Ok(());
        }
        let over =
            self.via.is_some() || self.port.as_deref().is_some_and(|p| p.starts_with("tcp://"));
        if over {
            return Err(super::refuse(
                "the link drops while this is done, and this path (tcp://, --via) may lead over the \
                 very modem: it could cut you off, with the radio off; --path-may-drop goes on all the same",
            ));
        }
        if system::runs_over_the_modem() {
            return Err(super::refuse(OVER_THE_MODEM));
        }
        Ok(())
    }

    /// Whether other speeds may be tried: where none was named.
    pub(super) const fn may_search(&self) -> bool {
        self.baud.is_none()
    }

    /// Opens the line for a run that opens it again and again: nothing is said, and a line that is not named or not
    /// there is an error as any other.
    pub(super) fn open_again(&self) -> Result<Box<dyn Port>, OpenError> {
        let wanted = self.port.as_deref();
        let by_modem = wanted.is_some_and(|p| p.starts_with("usb:") || p.starts_with("imei:"));
        let name = match (wanted, &self.via) {
            (Some(port), _) if !by_modem => port.to_owned(),
            (None, Some(command)) => command.clone(),
            _ => {
                let groups = self.matching(wanted);
                match groups.as_slice() {
                    [only] => only[0].candidate.path.clone(),
                    [] => return Err(OpenError::Missing(wanted.unwrap_or("a modem").to_owned())),
                    _ => {
                        let name = wanted.unwrap_or("the modem").to_owned();
                        return Err(OpenError::Other(
                            name,
                            "several modems answer, name one".into(),
                        ));
                    }
                }
            }
        };
        port::open_followed(&name, self.speed(), self.via.as_deref())
    }

    /// The modems that answer, each with its ports, of those that `wanted` names.
    fn matching(&self, wanted: Option<&str>) -> Vec<Vec<Probed>> {
        let mut found = probe_all(port::candidates(), self.speed());
        found.retain(|p| p.speaks == Speaks::At);
        let mut groups = by_modem(found);
        groups.retain(|g| wanted.is_none_or(|wanted| g.iter().any(|p| is_named(wanted, p))));
        groups
    }

    /// Opens the line, looking for the only port that answers where none is named.
    pub(super) fn open(&self) -> Result<(String, Box<dyn Port>), Exit> {
        let name = match (&self.port, &self.via) {
            (Some(port), _) if port.starts_with("usb:") || port.starts_with("imei:") => {
                self.find(Some(port))?
            }
            (Some(port), _) => port.clone(),
            (None, Some(command)) => command.clone(),
            (None, None) => self.find(None)?,
        };
        let opened = port::open_followed(&name, self.speed(), self.via.as_deref());
        match opened {
            Ok(port) => Ok((name, port)),
            Err(error) => {
                eprintln!("mastside: {}", crate::sanitize::plain(&error.to_string()));
                Err(Exit::Unusable)
            }
        }
    }

    /// The port of the one modem that there is, or of the one that `wanted` names.
    fn find(&self, wanted: Option<&str>) -> Result<String, Exit> {
        match self.matching(wanted).as_slice() {
            [only] => {
                // Of several ports of one modem the first that answers serves as well as any.
                let path = only[0].candidate.path.clone();
                say(&format!("The modem is at {}.", crate::sanitize::plain(&path)));
                Ok(path)
            }
            [] => {
                let which = wanted.map_or_else(String::new, |w| format!(" of the name {w}"));
                Err(super::refuse(&format!(
                    "no modem{which} answers; `mastside ports` says why, or name a port"
                )))
            }
            several => {
                say(
                    "mastside: several modems answer; name one of them, as in `mastside examine NAME`:",
                );
                for group in several {
                    let modem = group.iter().find_map(|p| p.modem.clone()).unwrap_or_default();
                    let imei = modem.imei.unwrap_or_else(|| "not given".into());
                    let model = modem.model.unwrap_or_else(|| "no model".into());
                    let name = name_among(group, several).unwrap_or_default();
                    let path = &group[0].candidate.path;
                    let line = format!("  {name:24} {model}, IMEI {imei}, at {path}");
                    say(&crate::sanitize::plain(&line));
                }
                Err(Exit::Unusable)
            }
        }
    }
}

/// What is going on, in one line of a terminal that the next one replaces; nothing elsewhere.
pub(super) struct Shown {
    live: bool,
}

impl Shown {
    /// Shows where standard error is a terminal.
    pub(super) fn new() -> Self {
        Self { live: std::io::stderr().is_terminal() }
    }

    /// Shows words.
    pub(super) fn say(&self, words: &str) {
        if self.live {
            eprint!("\r\x1b[K{}", crate::sanitize::plain(words));
            // The screen is only for show.
            let _ = std::io::stderr().flush();
        }
    }

    /// Takes the line away.
    pub(super) fn clear(&self) {
        if self.live {
            eprint!("\r\x1b[K");
        }
    }
}

impl Progress for Shown {
    fn asking(&mut self, command: &str) {
        self.say(&format!("asking {command}"));
    }
}

/// Said where what is asked for would cut off whoever asks.
pub(super) const OVER_THE_MODEM: &str = "this session seems to run over the modem itself, and would be cut off; go to the site, use another link, or say --path-may-drop";

/// Tells what happens to the line. A terminal that is gone is no reason to end a run.
pub(super) fn told(notice: Notice) {
    let words = match notice {
        Notice::PortGone => {
            "The port is gone, as when a modem restarts or a cable is pulled; waiting for it."
        }
        Notice::PortBack => "The port is back.",
        Notice::Waiting => "The modem does not answer; waiting for it, 90 s at most.",
        Notice::Restarted => "The modem restarted; going on.",
        Notice::StopWaits => {
            "Stopping, once the modem is left as it should be: its radio on, its settings put back."
        }
    };
    say(&format!("\r\x1b[K{words}"));
}

/// Says which settings could not be put back.
pub(super) fn told_left(left: &[String]) {
    for command in left {
        say(&format!("mastside: this setting could not be put back: {command}"));
    }
}

/// Writes a line to the user. A terminal that is gone is no reason to end a run.
pub(super) fn say(words: &str) {
    let _ = writeln!(std::io::stderr(), "{words}");
}

/// A file name of this moment that does not exist yet.
fn fresh_name(what: &str) -> PathBuf {
    let base = format!("mastside-{what}-{}", chrono::Local::now().format("%Y%m%d-%H%M%S"));
    let names = std::iter::once(format!("{base}.txt"))
        .chain((2..100).map(|n| format!("{base}-{n}.txt")))
        .map(PathBuf::from);
    let first = PathBuf::from(format!("{base}.txt"));
    names.into_iter().find(|name| !name.exists()).unwrap_or(first)
}

/// A recording: to the file that is named, else to a new file of this moment's name.
pub(super) fn recorder(path: Option<&PathBuf>, what: &str) -> Result<(PathBuf, Recorder), Exit> {
    let path = path.cloned().unwrap_or_else(|| fresh_name(what));
    match Recorder::to_file(&path) {
        Ok(recorder) => Ok((path, recorder)),
        Err(error) => {
            eprintln!(
                "mastside: {}: {}; name another file for the dialogue",
                crate::sanitize::plain(&path.display().to_string()),
                if error.kind() == std::io::ErrorKind::AlreadyExists {
                    "it exists already, and nothing is ever written over".to_owned()
                } else {
                    error.to_string()
                }
            );
            Err(Exit::Unusable)
        }
    }
}
