//! The command line: one file a command, each of them wiring only.
//!
//! Exit statuses, the same for every command unless its help says otherwise: 0 done (or the modem
//! is connected), 1 a fault was found, 2 unusable input or arguments, 3 the text is not enough.

mod align;
mod amend;
mod carrier;
mod commission;
mod compare;
mod desk;
mod examine;
mod explain;
mod format;
mod input;
mod live;
mod lookup;
mod ports;
mod redact;
#[cfg(unix)]
mod rehearse;
mod rules;
mod schema;
mod survey;
mod system;
mod triage;
mod undo;

use crate::verdict::{Finding, Verdict};
use clap::{Parser, Subcommand};
use std::ffi::OsString;

/// How the program ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Done, or connected.
    Done,
    /// A fault was found, or a check failed.
    Fault,
    /// Unusable input or arguments.
    Unusable,
    /// The text is not enough.
    Unclear,
}

impl Exit {
    /// The end of a command that reaches this verdict.
    fn of(verdict: &Verdict) -> Self {
        match verdict.finding {
            Finding::Connected { .. } => Self::Done,
            Finding::Fault(_) => Self::Fault,
            Finding::Unclear => Self::Unclear,
        }
    }

    /// The exit status as a number.
    pub const fn status(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Fault => 1,
            Self::Unusable => 2,
            Self::Unclear => 3,
        }
    }
}

/// Explains why a cellular modem that sees its SIM will not attach
#[derive(Parser, Debug)]
#[command(name = "mastside", version, max_term_width = 100)]
struct Arguments {
    #[command(subcommand)]
    command: Command,

    /// A directory with tables that replace the built-in ones of the same file names
    #[arg(long, value_name = "DIR", global = true)]
    tables: Option<std::path::PathBuf>,
}

#[derive(Subcommand, Debug)]
enum Command {
    Explain(explain::Explain),
    Desk(desk::Desk),
    Redact(redact::Redact),
    Ports(ports::Ports),
    Examine(examine::Examine),
    Amend(amend::Amend),
    #[cfg(unix)]
    Rehearse(rehearse::Rehearse),
    Survey(survey::Survey),
    Align(align::Align),
    Commission(commission::Commission),
    Compare(compare::Compare),
    Triage(triage::Triage),
    Carrier(carrier::CarrierCommand),
    Lookup(lookup::Lookup),
    Rules(rules::Rules),
    Schema(schema::Schema),
}

/// Says what is wrong; with a file, its line may stand below, over several lines.
fn refuse(sentence: &str) -> Exit {
    let lines: Vec<_> = sentence.trim_end().lines().map(crate::sanitize::plain).collect();
    eprintln!("mastside: {}", lines.join("\n"));
    Exit::Unusable
}

/// The width of the terminal in columns; 80 where there is none.
fn width() -> usize {
    terminal_size::terminal_size_of(std::io::stdout())
        .map_or(80, |(terminal_size::Width(columns), _)| usize::from(columns))
}

/// The team's own file: the one that is named, or the user's own.
fn team(named: Option<&std::path::Path>) -> Result<crate::rules::Team, Exit> {
    crate::rules::Team::load(named).map_err(|error| {
        eprintln!("mastside: {error}");
        Exit::Unusable
    })
}

/// Prints a text of the user's own without a change; control characters go only to where no terminal obeys them.
fn print_as_it_is(text: &str) -> std::io::Result<()> {
    use std::io::{IsTerminal, Write};
    let mut out = std::io::stdout().lock();
    let written = if out.is_terminal() {
        let mut lines = text.lines();
        lines.try_for_each(|line| writeln!(out, "{}", crate::sanitize::plain(line)))
    } else {
        out.write_all(text.as_bytes())
    };
    match written.and_then(|()| out.flush()) {
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

/// Prints a page in one go; styles are left out where the stream does not want them.
fn print(page: &str) -> std::io::Result<()> {
    use std::io::Write;
    let mut out = anstream::stdout().lock();
    match out.write_all(page.as_bytes()).and_then(|()| out.flush()) {
        // A reader that has seen enough is no error.
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ok(()),
        other => other,
    }
}

/// Reads the arguments, runs the command and gives the exit status.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> u8 {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(error) => {
            let status = if error.use_stderr() { Exit::Unusable } else { Exit::Done };
            // Nothing is left to tell it to when printing itself fails.
            let _ = error.print();
            return status.status();
        }
    };
    if let Some(directory) = &arguments.tables
        && let Err(error) = crate::reference::use_directory(directory)
    {
        eprintln!("mastside: {error}");
        return Exit::Unusable.status();
    }
    match arguments.command {
        Command::Explain(command) => command.run(),
        Command::Desk(command) => command.run(),
        Command::Redact(command) => command.run(),
        Command::Ports(command) => command.run(),
        Command::Examine(command) => command.run(),
        Command::Amend(command) => command.run(),
        #[cfg(unix)]
        Command::Rehearse(command) => command.run(),
        Command::Survey(command) => command.run(),
        Command::Align(command) => command.run(),
        Command::Commission(command) => command.run(),
        Command::Compare(command) => command.run(),
        Command::Triage(command) => command.run(),
        Command::Carrier(command) => command.run(),
        Command::Lookup(command) => command.run(),
        Command::Rules(command) => command.run(),
        Command::Schema(command) => command.run(),
    }
    .status()
}
