//! `mastside amend`: one named change, shown first, with an undo.

use super::{Exit, live, refuse, system};
use crate::at::Client;
use crate::live::{Change, Login, Refusal, Undo};
use crate::sanitize::plain;
use clap::{Args, Subcommand};
use std::io::{BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Make one change at the modem, shown first, with an undo
///
/// Shows what is set, what will be and why, asks, writes an undo file, makes the change, and proves
/// its effect by waiting for registration and address.
///
/// Exit status: 0 done and proved, 1 done but without effect, 2 not done.
#[derive(Args, Debug)]
pub(super) struct Amend {
    #[command(subcommand)]
    what: Option<What>,

    #[command(flatten)]
    line: live::LineArguments,

    /// Put back what an undo file names
    #[arg(long, value_name = "FILE")]
    undo: Option<PathBuf>,

    /// Show what would be done, and do nothing
    #[arg(long, global = true)]
    dry_run: bool,

    /// Do not ask; needed where there is no terminal
    #[arg(long, global = true)]
    yes: bool,

    /// Where to save the dialogue
    #[arg(long, value_name = "FILE", global = true)]
    record: Option<PathBuf>,

    /// How many seconds to wait for registration and address
    #[arg(long, value_name = "SECONDS", default_value_t = 90, global = true)]
    wait: u64,
}

#[derive(Subcommand, Debug)]
enum What {
    /// Set access point name and address type of the attach context, and attach anew
    AccessPoint {
        /// The name, letter by letter as the carrier gives it
        name: String,
        /// IP, IPV6 or IPV4V6
        #[arg(long, default_value = "IPV4V6")]
        address: String,
        /// The context number
        #[arg(long, default_value_t = 1)]
        context: u8,
        /// The user name, where the carrier asks for one; the password is asked for without showing it
        #[arg(long, value_name = "NAME")]
        user: Option<String>,
        /// How the password is sent
        #[arg(long, value_enum, default_value_t, requires = "user")]
        by: Protocol,
        #[command(flatten)]
        line: live::LineArguments,
    },
    /// Switch the radio on
    Radio {
        #[command(flatten)]
        line: live::LineArguments,
    },
    /// Choose the network automatically
    Network {
        #[command(flatten)]
        line: live::LineArguments,
    },
    /// Empty the card's list of forbidden networks
    Forbidden {
        #[command(flatten)]
        line: live::LineArguments,
    },
    /// Free the choice of radio technology, where the modem's own command is known
    Technology {
        #[command(flatten)]
        line: live::LineArguments,
    },
    /// Switch an LTE band on, where the modem's own command is known; stays over a power cycle
    Band {
        /// The band number
        number: u16,
        #[command(flatten)]
        line: live::LineArguments,
    },
    /// Put data first, not voice
    Usage {
        #[command(flatten)]
        line: live::LineArguments,
    },
    /// Enter the SIM's PIN once; asked for without showing it, never stored, never the last try
    Pin {
        #[command(flatten)]
        line: live::LineArguments,
    },
}

/// How a password is sent (TS 27.007 §10.1.31).
#[derive(Clone, Copy, Debug, Default, clap::ValueEnum)]
enum Protocol {
    /// In clear
    #[default]
    Pap,
    /// As an answer to a challenge
    Chap,
}

impl Amend {
    pub(super) fn run(mut self) -> Exit {
        let what = self.what.take();
        match (what, self.undo.clone()) {
            (None, Some(file)) => self.put_back(&file),
            (Some(what), None) => self.make(what),
            (Some(_), Some(_)) => refuse("name a change or an undo file, not both"),
            (None, None) => {
                refuse("name a change, as in `mastside amend radio`; --help lists them")
            }
        }
    }

    fn make(&self, what: What) -> Exit {
        let (change, line) = match what {
            What::AccessPoint { name, address, context, user, by, line } => {
                let login = match user.map(|user| Ok((user, secret("Password: ")?))).transpose() {
                    Ok(login) => login.map(|(user, password)| Login {
                        protocol: if matches!(by, Protocol::Pap) { 1 } else { 2 },
                        user,
                        password,
                    }),
                    Err(error) => return refuse(&std::io::Error::to_string(&error)),
                };
                let address = address.to_uppercase();
                (Change::AccessPoint { context, name, address, login }, line)
            }
            What::Technology { line } => (Change::Technology, line),
            What::Band { number, line } => (Change::Band(number), line),
            What::Radio { line } => (Change::Radio, line),
            What::Network { line } => (Change::Network, line),
            What::Forbidden { line } => (Change::Forbidden, line),
            What::Usage { line } => (Change::Usage, line),
            What::Pin { line } => match secret("PIN: ") {
                Ok(pin) => (Change::Pin(pin), line),
                Err(error) => return refuse(&error.to_string()),
            },
        };
        let (_, mut port) = match line.open() {
            Ok(open) => open,
            Err(exit) => return exit,
        };
        let (path, recorder) = match live::recorder(self.record.as_ref(), "amend") {
            Ok(recorder) => recorder,
            Err(exit) => return exit,
        };
        let stop = system::stop_flag();
        let mut client = Client::new(port.as_mut(), recorder, &stop).telling(live::told);
        let exit = match client.wake(line.may_search()) {
            Ok(true) => self.change(&change, &mut client, &path),
            Ok(false) => return refuse("nothing answers on this line; `mastside ports` says why"),
            Err(error) => return refuse(&error.to_string()),
        };
        live::told_left(client.leave());
        exit
    }

    /// Shows, asks, writes the undo file, makes the change and proves it.
    fn change(&self, change: &Change, client: &mut Client<'_>, path: &Path) -> Exit {
        let amendment = match change.plan(client) {
            Ok(amendment) => amendment,
            Err(Refusal::Already(what)) => {
                eprintln!("It is so already: {what}. Nothing was changed.");
                return Exit::Done;
            }
            Err(error) => return refuse(&error.to_string()),
        };
        tell("Now:   ", &plain(&amendment.now));
        tell("Then:  ", &plain(&amendment.then));
        tell("Why:   ", amendment.why);
        tell("Sends: ", &plain(&amendment.shown.join(", ")));
        let undo = if amendment.undo.is_empty() {
            "not possible".into()
        } else {
            plain(&amendment.undo.join(", ")).into_owned()
        };
        tell("Undo:  ", &undo);
        if amendment.drops_link {
            tell(
                "",
                "The link drops while it is made. The antenna may radiate: keep the distance that local codes ask for.",
            );
        }
        if self.dry_run {
            return Exit::Done;
        }
        if amendment.drops_link && system::runs_over_the_modem() {
            return refuse(
                "this session seems to run over the modem itself, and would be cut off; nothing was changed",
            );
        }
        if !self.agreed() {
            return Exit::Unusable;
        }
        let undo_path = path.with_extension("undo.toml");
        if !amendment.undo.is_empty() {
            let undo = amendment.undo_file(chrono::Local::now().to_rfc3339());
            let written = toml::to_string_pretty(&undo)
                .map_err(|e| e.to_string())
                .and_then(|text| write_new(&undo_path, &text).map_err(|e| e.to_string()));
            if let Err(error) = written {
                return refuse(&format!(
                    "the undo file could not be written ({error}); nothing was changed"
                ));
            }
            eprintln!("The undo file is {}.", plain(&undo_path.display().to_string()));
        }
        if let Err(error) = amendment.apply(client) {
            return refuse(&error.to_string());
        }
        self.prove(client)
    }

    /// Waits for the effect and says what came of it.
    fn prove(&self, client: &mut Client<'_>) -> Exit {
        match client.wait_for_address(Duration::from_secs(self.wait)) {
            Ok(true) => {
                eprintln!("Done: the modem is registered and has an address.");
                Exit::Done
            }
            Ok(false) => {
                eprintln!(
                    "The change is made; the modem is not registered with an address yet. `mastside examine` says why."
                );
                Exit::Fault
            }
            Err(error) => refuse(&error.to_string()),
        }
    }

    fn put_back(&self, file: &Path) -> Exit {
        let undo: Undo = match std::fs::read_to_string(file)
            .map_err(|e| e.to_string())
            .and_then(|t| toml::from_str(&t).map_err(|e| e.to_string()))
        {
            Ok(undo) => undo,
            Err(error) => return refuse(&format!("{}: {error}", file.display())),
        };
        eprintln!("Made {}: {}", plain(&undo.made), plain(&undo.change));
        eprintln!("Sends: {}", plain(&undo.commands.join(", ")));
        if self.dry_run {
            return Exit::Done;
        }
        if let Some(odd) = undo.commands.iter().find(|c| !is_undo(c)) {
            return refuse(&format!(
                "the file holds a command that no undo of this program holds: {odd}"
            ));
        }
        if system::runs_over_the_modem() {
            return refuse(
                "this session seems to run over the modem itself, and would be cut off; nothing was changed",
            );
        }
        if !self.agreed() {
            return Exit::Unusable;
        }
        let (_, mut port) = match self.line.open() {
            Ok(open) => open,
            Err(exit) => return exit,
        };
        let (_, recorder) = match live::recorder(self.record.as_ref(), "undo") {
            Ok(recorder) => recorder,
            Err(exit) => return exit,
        };
        let stop = system::stop_flag();
        let mut client = Client::new(port.as_mut(), recorder, &stop).telling(live::told);
        match client.wake(self.line.may_search()) {
            Ok(true) => {}
            Ok(false) => return refuse("nothing answers on this line; `mastside ports` says why"),
            Err(error) => return refuse(&error.to_string()),
        }
        for command in &undo.commands {
            match client.ask(command) {
                Ok(answer) if answer.is_ok() => {}
                Ok(_) => return refuse(&format!("the modem refused {command}")),
                Err(error) => return refuse(&error.to_string()),
            }
        }
        live::told_left(client.leave());
        eprintln!("Put back.");
        Exit::Done
    }

    fn agreed(&self) -> bool {
        if self.yes {
            return true;
        }
        if !std::io::stdin().is_terminal() {
            eprintln!(
                "mastside: there is no terminal to ask at; --yes makes the change without asking"
            );
            return false;
        }
        eprint!("Make this change? Type yes: ");
        // The question is only for show.
        let _ = std::io::stderr().flush();
        let mut answer = String::new();
        let read = std::io::stdin().lock().read_line(&mut answer);
        let agreed = read.is_ok() && answer.trim().eq_ignore_ascii_case("yes");
        if !agreed {
            eprintln!("Nothing was changed.");
        }
        agreed
    }
}

/// Tells one thing, wrapped beside its label.
fn tell(label: &str, words: &str) {
    let indent = " ".repeat(label.len());
    let options =
        textwrap::Options::new(super::width()).initial_indent(label).subsequent_indent(&indent);
    for line in textwrap::wrap(words, options) {
        eprintln!("{line}");
    }
}

/// Commands that an undo file of this program can hold.
fn is_undo(command: &str) -> bool {
    const KNOWN: [&str; 11] = [
        "AT+CGDCONT=",
        "AT+CGAUTH=",
        "AT+CFUN=",
        "AT+COPS=",
        "AT+CEMODE=",
        "AT+CRSM=214,28539,0,0,12,",
        "AT+CNMP=",
        "AT+WS46=",
        "AT+QNWPREFCFG=",
        "AT+QCFG=",
        "AT+CBANDCFG=",
    ];
    KNOWN.iter().any(|p| command.starts_with(p)) && !command.contains([';', '\r', '\n'])
}

fn write_new(path: &Path, text: &str) -> std::io::Result<()> {
    std::fs::File::options().write(true).create_new(true).open(path)?.write_all(text.as_bytes())
}

/// Asks for a PIN or a password without showing it; reads a line where there is no terminal.
fn secret(question: &str) -> std::io::Result<String> {
    if std::io::stdin().is_terminal() {
        return Ok(rpassword::prompt_password(question)?.trim().to_owned());
    }
    let mut text = String::new();
    std::io::stdin().lock().read_line(&mut text)?;
    Ok(text.trim().to_owned())
}
