//! `mastside rehearse`: a simulated modem for practice, demos and tests.

use super::{Exit, refuse, system};
use crate::sanitize::plain;
use crate::simulator::{Machine, Replay, Scenario, ports, serve};
use std::io;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};

/// Practise on a simulated modem
///
/// Prints a path (or a TCP port) at which a simulated modem answers until Ctrl-C. Its state really
/// changes: a wrong access point name is refused, the right one attaches.
#[derive(clap::Args, Debug)]
pub(super) struct Rehearse {
    /// A scenario file, as in demo/scenarios/
    scenario: Option<PathBuf>,

    /// Answer from a saved capture instead
    #[arg(long, value_name = "FILE", conflicts_with = "scenario")]
    capture: Option<PathBuf>,

    /// Serve on a TCP address instead of a pseudo-terminal, as in 127.0.0.1:5300
    #[arg(long, value_name = "ADDRESS")]
    tcp: Option<SocketAddr>,

    /// A name for the pseudo-terminal that stays the same from run to run; further ports of the modem
    /// have the same with -2, -3 …
    #[arg(long, value_name = "PATH")]
    link: Option<PathBuf>,

    /// Print the JSON Schema of scenario files
    #[arg(long, exclusive = true)]
    schema: bool,
}

impl Rehearse {
    pub(super) fn run(self) -> Exit {
        if self.schema {
            return schema();
        }
        let mut machines = match (&self.scenario, &self.capture) {
            (Some(path), _) => match Scenario::load(path) {
                Ok(scenario) => {
                    eprintln!("{}\n{}", plain(&scenario.title), plain(&scenario.story));
                    ports(scenario)
                }
                Err(error) => return refuse(&error.to_string()),
            },
            (None, Some(path)) => match super::input::texts(std::slice::from_ref(path)) {
                Ok((text, _)) => vec![Box::new(Replay::of(&text)) as Box<dyn Machine>],
                Err(error) => return super::input::refuse(&error),
            },
            (None, None) => {
                return refuse(
                    "name a scenario, as in `mastside rehearse demo/scenarios/pin.toml`",
                );
            }
        };
        let stop = system::stop_flag();
        let served = match (self.tcp, machines.first_mut()) {
            (Some(address), Some(machine)) => serve::listen(address).and_then(|listener| {
                let there = listener.local_addr()?;
                println!("tcp://{there}");
                serve::tcp(&listener, machine.as_mut(), &stop)
            }),
            _ => self.at_terminals(machines, &stop),
        };
        match served {
            Ok(()) => Exit::Done,
            Err(error) => refuse(&error.to_string()),
        }
    }

    /// Serves each machine at a pseudo-terminal of its own, until one of them ends.
    fn at_terminals(&self, machines: Vec<Box<dyn Machine>>, stop: &AtomicBool) -> io::Result<()> {
        let mut stages = Vec::new();
        for number in 1..=machines.len() {
            let mut stage = serve::Stage::open()?;
            if let Some(link) = &self.link {
                stage.link_at(&numbered(link, number))?;
            }
            println!("{}", stage.path().display());
            stages.push(stage);
        }
        let paths: Vec<_> = stages.iter().map(|s| s.path().display().to_string()).collect();
        match paths.as_slice() {
            [only] => eprintln!("Try: mastside examine {only}   (Ctrl-C ends the rehearsal)"),
            several => {
                eprintln!(
                    "Try: mastside ports {}   (Ctrl-C ends the rehearsal)",
                    several.join(" ")
                );
            }
        }
        std::thread::scope(|scope| {
            let serving = |(stage, mut machine): (serve::Stage, Box<dyn Machine>)| {
                scope.spawn(move || {
                    let served = stage.serve(machine.as_mut(), stop);
                    stop.store(true, Ordering::Relaxed);
                    served
                })
            };
            let runs: Vec<_> = stages.into_iter().zip(machines).map(serving).collect();
            runs.into_iter().try_for_each(|run| {
                run.join().map_err(|_| io::Error::other("a port of the simulated modem ended"))?
            })
        })
    }
}

/// The name of a port: the link itself for the first, with its number for the others.
fn numbered(link: &Path, number: usize) -> PathBuf {
    if number == 1 {
        return link.to_owned();
    }
    let mut name = link.as_os_str().to_owned();
    name.push(format!("-{number}"));
    name.into()
}

/// Prints the JSON Schema of scenario files.
fn schema() -> Exit {
    match serde_json::to_string_pretty(&schemars::schema_for!(Scenario)) {
        Ok(text) if super::print(&format!("{text}\n")).is_ok() => Exit::Done,
        Ok(_) => Exit::Unusable,
        Err(error) => refuse(&format!("the schema could not be written: {error}")),
    }
}
