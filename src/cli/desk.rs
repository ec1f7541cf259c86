//! `mastside desk`: the support desk as a page on this computer.

use super::{Exit, refuse};
use crate::desk::{self, Desktop};
use std::io::Write;
use std::path::PathBuf;

/// Open the support desk as a page on this computer
///
/// Prints the address with the key of this start; open it in a browser of this computer. Nobody else can reach it, and
/// nothing is stored unless a folder for tickets is named. Ctrl-C stops it.
#[derive(clap::Args, Debug)]
pub(super) struct Desk {
    /// The port to listen on; 0 takes a free one
    #[arg(long, default_value_t = 0)]
    port: u16,

    /// A folder to keep tickets in; made if it is not there
    #[arg(long, value_name = "DIR")]
    tickets: Option<PathBuf>,

    /// A directory with carrier profiles, beside the shipped ones and your own
    #[arg(long, value_name = "DIR", value_parser = super::carrier::directory)]
    profiles: Vec<PathBuf>,

    /// A file with your team's own notes, steps and contacts
    #[arg(long, value_name = "FILE")]
    team: Option<PathBuf>,
}

impl Desk {
    pub(super) fn run(self) -> Exit {
        let (profiles, _) = super::carrier::load(&self.profiles);
        let team = match super::team(self.team.as_deref()) {
            Ok(team) => team,
            Err(exit) => return exit,
        };
        if let Some(folder) = &self.tickets
            && let Err(error) = std::fs::create_dir_all(folder)
        {
            return refuse(&format!("{}: {error}", folder.display()));
        }
        let desktop = Desktop { profiles, team, tickets: self.tickets };
        let ready = |address: &str| {
            let mut out = std::io::stdout().lock();
            writeln!(out, "{address}").and_then(|()| out.flush())
        };
        match desk::serve(self.port, desktop, ready) {
            Ok(()) => Exit::Done,
            Err(error) => refuse(&format!("the desk cannot listen on port {}: {error}", self.port)),
        }
    }
}
