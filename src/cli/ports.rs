//! `mastside ports`: the modems of this computer with their ports, and why the other ports are none.

use super::Exit;
use crate::live::{Probed, by_modem, probe_all};
use crate::port::{self, Candidate, Speaks};
use crate::sanitize::plain;
use serde::Serialize;
use std::fmt::Write;

/// List the modems of this computer, their ports, and why other ports are none
///
/// Each port is asked whether it speaks AT, and a modem who it is. A port that another program has
/// open is left alone. A modem keeps the name in the line `Name` over replugging: other commands take
/// it instead of a port, as they take `imei:` and the last digits of its IMEI.
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

    /// How to print the list
    #[arg(long, value_enum, default_value_t)]
    format: ListFormat,
}

/// The formats of the list.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
enum ListFormat {
    /// For a terminal
    #[default]
    Text,
    /// One JSON object
    Json,
}

/// One modem, or ports without one.
#[derive(Serialize)]
struct Listed {
    name: Option<String>,
    modem: Option<crate::live::ModemName>,
    ports: Vec<ListedPort>,
}

/// One port.
#[derive(Serialize)]
struct ListedPort {
    path: String,
    about: String,
    role: &'static str,
    says: String,
}

impl Ports {
    pub(super) fn run(self) -> Exit {
        let (known, problem) = port::listing();
        if let Some(problem) = problem {
            eprintln!(
                "mastside: {}",
                plain(&format!(
                    "the system's list of ports cannot be read ({problem}); ports may be missing here"
                ))
            );
        }
        let found = if self.port.is_empty() {
            known
        } else {
            let own = |path: &String| {
                let blank = Candidate { path: path.clone(), about: String::new(), usb: None };
                known.iter().find(|c| c.path == *path).cloned().unwrap_or(blank)
            };
            self.port.iter().map(own).collect()
        };
        if found.is_empty() && self.format == ListFormat::Text {
            return none();
        }
        let groups = if self.quiet {
            let silent = |candidate| Probed { candidate, speaks: Speaks::Silent, modem: None };
            found.into_iter().map(|c| vec![silent(c)]).collect()
        } else {
            by_modem(probe_all(found, self.baud))
        };
        let modems = groups.iter().filter(|g| g.iter().any(|p| p.speaks == Speaks::At)).count();
        let listed: Vec<Listed> = groups.iter().map(|g| self.listed(g)).collect();
        let page = match self.format {
            ListFormat::Text => text(&listed),
            ListFormat::Json => match serde_json::to_string_pretty(&serde_json::json!({
                "format": 1,
                "modems": listed,
            })) {
                Ok(page) => page + "\n",
                Err(error) => return super::refuse(&error.to_string()),
            },
        };
        if super::print(&page).is_err() {
            return Exit::Unusable;
        }
        if modems > 0 || self.quiet { Exit::Done } else { Exit::Fault }
    }

    fn listed(&self, group: &[Probed]) -> Listed {
        let modem = group.iter().find_map(|p| p.modem.clone());
        let usb = group.iter().find_map(|p| p.candidate.usb.clone());
        // Without a serial number two devices of one kind have one name.
        let usb = usb.filter(|usb| usb.matches(':').count() == 3);
        Listed {
            name: usb.filter(|_| modem.is_some()),
            modem,
            ports: group
                .iter()
                .map(|p| ListedPort {
                    path: p.candidate.path.clone(),
                    about: p.candidate.about.clone(),
                    role: role(&p.speaks),
                    says: if self.quiet { String::new() } else { words(&p.speaks) },
                })
                .collect(),
        }
    }
}

fn text(listed: &[Listed]) -> String {
    let mut page = String::new();
    for one in listed {
        if let Some(modem) = &one.modem {
            let mut facts = vec![modem.model.clone().unwrap_or_else(|| "a modem".into())];
            facts.extend(modem.firmware.as_ref().map(|f| format!("firmware {f}")));
            facts.extend(modem.imei.as_ref().map(|i| format!("IMEI {i}")));
            facts.extend(modem.card.as_ref().map(|c| format!("card {c}")));
            // Writing to a string cannot fail.
            let _ = writeln!(page, "{}", plain(&facts.join(", ")));
            if let Some(name) = &one.name {
                let _ = writeln!(page, "  Name  {}", plain(name));
            }
        }
        for port in &one.ports {
            let indent = if one.modem.is_some() { "  " } else { "" };
            let line = format!("{indent}{:20} {}  {}", port.path, port.says, port.about);
            let _ = writeln!(page, "{}", plain(line.trim_end()));
        }
    }
    page
}

const fn role(speaks: &Speaks) -> &'static str {
    match speaks {
        Speaks::At => "at",
        Speaks::Positions => "positions",
        Speaks::Other => "other",
        Speaks::Silent => "silent",
        Speaks::Busy(_) => "held",
        Speaks::Denied => "no-permission",
        Speaks::Closed(_) => "closed",
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
