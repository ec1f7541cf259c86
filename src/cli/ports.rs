//! `mastside ports`: which ports may be a modem, what speaks there, and why the others do not.

use super::Exit;
use crate::port::{self, Speaks};
use crate::sanitize::plain;
use std::fmt::Write;
use std::time::Duration;

/// List what may be a modem, what answers, and why the others do not
///
/// Each port is asked once whether it speaks AT. A port that another program holds is left alone.
///
/// Exit status: 0 a modem answers, 1 none does.
#[derive(clap::Args, Debug)]
pub(super) struct Ports {
    /// Ask these ports only
    port: Vec<String>,

    /// The speed of the line
    #[arg(long, default_value_t = 115_200)]
    baud: u32,

    /// Only list the ports; ask nothing
    #[arg(long)]
    quiet: bool,
}

impl Ports {
    pub(super) fn run(self) -> Exit {
        let found = if self.port.is_empty() {
            port::candidates()
        } else {
            self.port
                .iter()
                .map(|p| port::Candidate { path: p.clone(), about: String::new() })
                .collect()
        };
        if found.is_empty() {
            return none();
        }
        let mut page = String::new();
        let mut modems = 0;
        for candidate in found {
            let says = if self.quiet {
                String::new()
            } else {
                let speaks = port::probe(&candidate.path, self.baud, Duration::from_millis(1200));
                modems += usize::from(speaks == Speaks::At);
                words(&speaks)
            };
            // Writing to a string cannot fail.
            let _ = writeln!(
                page,
                "{:20} {says}{}{}",
                plain(&candidate.path),
                if candidate.about.is_empty() { "" } else { "  " },
                plain(&candidate.about)
            );
        }
        if super::print(&page).is_err() {
            return Exit::Unusable;
        }
        if modems > 0 || self.quiet { Exit::Done } else { Exit::Fault }
    }
}

fn words(speaks: &Speaks) -> String {
    match speaks {
        Speaks::At => "answers AT: a modem".into(),
        Speaks::Positions => "position sentences, not AT; try the modem's other ports".into(),
        Speaks::Other => "something else than AT; try another port or --baud".into(),
        Speaks::Silent => "nothing answers".into(),
        Speaks::Busy(by) => format!("held by another program{by}; close it first"),
        Speaks::Denied => {
            "no permission; join the group that owns the port (often dialout) and log in again"
                .into()
        }
        Speaks::Closed(why) => plain(why).into_owned(),
    }
}

fn none() -> Exit {
    let page = "No port that may be a modem was found. In this order:\n\
        \n  1. Give the modem two minutes after power-on, then look again.\
        \n  2. Switch the supply off, seat the modem firmly in its socket and the card in its holder, switch on.\
        \n  3. Try another cable, another USB socket, another computer; see whether it is noticed at all.\
        \n  4. Some modems start in a mode without an AT port; their maker's note says how to switch it.\
        \n";
    let options = crate::explanation::lines_of(super::width())
        .initial_indent("  ! ")
        .subsequent_indent("    ");
    let caution = format!("Caution: {}", crate::caution::SUPPLY);
    let page = format!("{page}\n{}\n", textwrap::fill(&caution, options));
    match super::print(&page) {
        Ok(()) => Exit::Fault,
        Err(_) => Exit::Unusable,
    }
}
