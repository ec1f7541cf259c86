//! The command line: one file a command, each of them wiring only.
//!
//! Exit statuses, the same for every command unless its help says otherwise: 0 done (or the modem
//! is connected), 1 a fault was found, 2 unusable input or arguments, 3 the text is not enough.

mod align;
mod amend;
mod ask;
mod carrier;
mod check_install;
mod commission;
mod compare;
mod completions;
mod desk;
mod examine;
mod exit;
mod explain;
mod follow;
mod format;
mod input;
mod live;
mod lookup;
mod manual;
mod measure;
mod output;
mod ports;
mod redact;
#[cfg(unix)]
mod rehearse;
mod rules;
mod schema;
mod survey;
mod system;
mod ticket;
mod triage;
mod undo;
mod version;
mod watch;

pub use exit::Exit;
use output::{print, print_as_it_is, refuse, team, width};

use clap::{Parser, Subcommand};
use std::ffi::OsString;

/// Explains why a cellular modem that sees its SIM will not attach
#[derive(Parser, Debug)]
#[command(name = "mastside", version = version::SHORT, long_version = version::LONG, max_term_width = 100)]
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
    Ticket(ticket::TicketCommand),
    Redact(redact::Redact),
    Ports(ports::Ports),
    Examine(examine::Examine),
    Amend(amend::Amend),
    #[cfg(unix)]
    Rehearse(rehearse::Rehearse),
    Survey(survey::Survey),
    Align(align::Align),
    Watch(watch::Watch),
    Commission(commission::Commission),
    Compare(compare::Compare),
    Triage(triage::Triage),
    Carrier(carrier::CarrierCommand),
    Lookup(lookup::Lookup),
    Rules(rules::Rules),
    Schema(schema::Schema),
    CheckInstall(check_install::CheckInstall),
    Completions(completions::Completions),
    Manual(manual::Manual),
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
        Command::Ticket(command) => command.run(),
        Command::Redact(command) => command.run(),
        Command::Ports(command) => command.run(),
        Command::Examine(command) => command.run(),
        Command::Amend(command) => command.run(),
        #[cfg(unix)]
        Command::Rehearse(command) => command.run(),
        Command::Survey(command) => command.run(),
        Command::Align(command) => command.run(),
        Command::Watch(command) => command.run(),
        Command::Commission(command) => command.run(),
        Command::Compare(command) => command.run(),
        Command::Triage(command) => command.run(),
        Command::Carrier(command) => command.run(),
        Command::Lookup(command) => command.run(),
        Command::Rules(command) => command.run(),
        Command::Schema(command) => command.run(),
        Command::CheckInstall(command) => command.run(),
        Command::Completions(command) => command.run(),
        Command::Manual(command) => command.run(),
    }
    .status()
}
