//! The whole time of an `examine` run over the time that the simulated modem itself takes.

use mastside::at::Client;
use mastside::carrier::ProfileStore;
use mastside::live::examine;
use mastside::port::{self, Recorder};
use mastside::simulator::{Modem, Scenario, serve::Stage};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Instant;

fn main() {
    const DELAY_MS: u64 = 60;
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo/scenarios/not-active.toml");
    let mut scenario = Scenario::load(&path).expect("the scenario reads");
    scenario.modem.delay_ms = DELAY_MS;
    let stop = Arc::new(AtomicBool::new(false));
    let stage = Stage::open().expect("a pseudo-terminal");
    let name = stage.path().display().to_string();
    let flag = Arc::clone(&stop);
    let served = std::thread::spawn(move || {
        let mut modem = Modem::new(scenario);
        stage.serve(&mut modem, &flag).expect("the line serves");
        modem.commands().len()
    });
    let profiles = ProfileStore::shipped();
    let begin = Instant::now();
    let mut port = port::open(&name, 115_200, None).expect("the port opens");
    let mut client = Client::new(port.as_mut(), Recorder::new(), &stop);
    let run = examine(&mut client, &profiles, false, &mut ());
    let took = begin.elapsed();
    assert!(run.ended.is_none(), "the run ends well");
    stop.store(true, Ordering::Relaxed);
    let commands = served.join().expect("the modem ends well");
    let own = DELAY_MS * commands as u64;
    println!(
        "{commands} commands, {} ms in all, {own} ms of the modem's own delays: {:.3} times",
        took.as_millis(),
        took.as_secs_f64() * 1000.0 / own as f64
    );
}
