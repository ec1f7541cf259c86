//! What the commands that talk to a modem share: the line, the recording, and stopping with Ctrl-C.

use super::Exit;
use crate::live::Progress;
use crate::port::{self, Followed, Port, Recorder, Speaks};
use std::io::{IsTerminal, Write};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

/// Where the modem is.
#[derive(clap::Args, Debug)]
pub(super) struct LineArguments {
    /// The modem's port: a path, or tcp://host:port; looked for where it is left away
    pub port: Option<String>,

    /// The speed of a serial line; 115200 first, and the usual others where nothing answers
    #[arg(long)]
    pub baud: Option<u32>,

    /// A command whose standard streams lead to the modem, as in "ssh gateway …"
    #[arg(long, value_name = "COMMAND", conflicts_with = "port")]
    pub via: Option<String>,
}

/// The speed that most modems have.
const USUAL_SPEED: u32 = 115_200;

impl LineArguments {
    /// The speed to begin with.
    fn speed(&self) -> u32 {
        self.baud.unwrap_or(USUAL_SPEED)
    }

    /// Whether a line was named.
    pub(super) const fn is_named(&self) -> bool {
        self.port.is_some() || self.via.is_some()
    }

    /// Whether other speeds may be tried: where none was named.
    pub(super) const fn may_search(&self) -> bool {
        self.baud.is_none()
    }

    /// Opens the line, looking for the only port that answers where none is named.
    pub(super) fn open(&self) -> Result<(String, Box<dyn Port>), Exit> {
        let name = match (&self.port, &self.via) {
            (Some(port), _) => port.clone(),
            (None, Some(command)) => command.clone(),
            (None, None) => self.find()?,
        };
        let opened = if self.via.is_some() || name.starts_with("tcp://") {
            port::open(&name, self.speed(), self.via.as_deref())
        } else {
            port::open_followed(&name, self.speed(), |event| match event {
                Followed::Lost => eprintln!(
                    "\r\x1b[KThe port is gone, as when a modem restarts or a cable is pulled; waiting for it."
                ),
                Followed::Back(name) => {
                    eprintln!("\r\x1b[KThe port is back at {}.", crate::sanitize::plain(&name));
                }
            })
        };
        match opened {
            Ok(port) => Ok((name, port)),
            Err(error) => {
                eprintln!("mastside: {}", crate::sanitize::plain(&error.to_string()));
                Err(Exit::Unusable)
            }
        }
    }

    fn find(&self) -> Result<String, Exit> {
        let wait = Duration::from_millis(1200);
        let found: Vec<_> = port::candidates()
            .into_iter()
            .filter(|c| port::probe(&c.path, self.speed(), wait) == Speaks::At)
            .collect();
        match found.as_slice() {
            [only] => {
                eprintln!("The modem is at {}.", crate::sanitize::plain(&only.path));
                Ok(only.path.clone())
            }
            [] => {
                eprintln!("mastside: no port answers; `mastside ports` says why, or name one");
                Err(Exit::Unusable)
            }
            several => {
                let names: Vec<_> = several.iter().map(|c| c.path.as_str()).collect();
                eprintln!(
                    "mastside: several ports answer, name one of {}",
                    crate::sanitize::plain(&names.join(", "))
                );
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
pub(super) const OVER_THE_MODEM: &str = "this session seems to run over the modem itself, and would be cut off; go to the site or use another link";

/// A flag that Ctrl-C sets.
pub(super) fn stop_flag() -> Arc<AtomicBool> {
    let stop = Arc::new(AtomicBool::new(false));
    for signal in [signal_hook::consts::SIGINT, signal_hook::consts::SIGTERM] {
        if let Err(error) = signal_hook::flag::register(signal, Arc::clone(&stop)) {
            eprintln!("mastside: Ctrl-C will not be caught: {error}");
        }
    }
    stop
}

/// Says so where a modem did not take back the form of its results.
pub(super) fn told_left(left: Result<bool, crate::at::ClientError>) {
    if !matches!(left, Ok(true)) {
        eprintln!("mastside: the modem gave results as numbers; that could not be put back (ATV0)");
    }
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

/// Whether this very session seems to run over a cellular link, so that dropping it would cut off
/// whoever types: a remote shell, and a default route over a mobile interface.
pub(super) fn runs_over_the_modem() -> bool {
    if std::env::var_os("SSH_CONNECTION").is_none() {
        return false;
    }
    let routes = std::fs::read_to_string("/proc/net/route").unwrap_or_default();
    routes.lines().skip(1).any(|line| {
        let mut cells = line.split_whitespace();
        let (interface, target) = (cells.next().unwrap_or(""), cells.next().unwrap_or(""));
        target == "00000000"
            && ["wwan", "ppp", "wwp", "usb", "rmnet"].iter().any(|p| interface.starts_with(p))
    })
}
