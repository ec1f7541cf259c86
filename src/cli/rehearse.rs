//! `mastside rehearse`: a simulated modem for practice, demos and tests.

use super::{Exit, refuse, system};
use crate::sanitize::plain;
use crate::simulator::{Machine, Modem, Replay, Scenario, serve};
use std::net::SocketAddr;
use std::path::PathBuf;

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

    /// A name for the pseudo-terminal that stays the same from run to run
    #[arg(long, value_name = "PATH")]
    link: Option<PathBuf>,
}

impl Rehearse {
    pub(super) fn run(self) -> Exit {
        let mut machine: Box<dyn Machine> = match (&self.scenario, &self.capture) {
            (Some(path), _) => match Scenario::load(path) {
                Ok(scenario) => {
                    eprintln!("{}\n{}", plain(&scenario.title), plain(&scenario.story));
                    Box::new(Modem::new(scenario))
                }
                Err(error) => return refuse(&error.to_string()),
            },
            (None, Some(path)) => match super::input::texts(std::slice::from_ref(path)) {
                Ok((text, _)) => Box::new(Replay::of(&text)),
                Err(error) => return super::input::refuse(&error),
            },
            (None, None) => {
                return refuse(
                    "name a scenario, as in `mastside rehearse demo/scenarios/pin.toml`",
                );
            }
        };
        let stop = system::stop_flag();
        let served = match self.tcp {
            Some(address) => serve::listen(address).and_then(|listener| {
                let there = listener.local_addr()?;
                println!("tcp://{there}");
                serve::tcp(&listener, machine.as_mut(), &stop)
            }),
            None => serve::Stage::open().and_then(|mut stage| {
                if let Some(link) = &self.link {
                    stage.link_at(link)?;
                }
                println!("{}", stage.path().display());
                eprintln!(
                    "Try: mastside examine {}   (Ctrl-C ends the rehearsal)",
                    stage.path().display()
                );
                stage.serve(machine.as_mut(), &stop)
            }),
        };
        match served {
            Ok(()) => Exit::Done,
            Err(error) => refuse(&error.to_string()),
        }
    }
}
