//! Real lines: pseudo-terminals, TCP, a child's streams, and what is no port.
#![cfg(unix)]

use super::*;

use mastside::port::{self, Speaks, probe};
use mastside::simulator::serve;
use std::sync::Arc;
use std::sync::atomic::Ordering;

fn healthy() -> Modem {
    Modem::new(scenarios().into_iter().find(|(n, _)| n == "healthy").unwrap().1)
}

fn asks(name: &str, via: Option<&str>) -> &'static str {
    let stop = AtomicBool::new(false);
    let mut port = port::open(name, 115_200, via).unwrap();
    let mut client = Client::new(port.as_mut(), Recorder::new(), &stop);
    let run = examine(&mut client, &ProfileStore::shipped(), false, &mut ());
    assert!(run.ended.is_none(), "{:?}", run.ended);
    finding(client.recorded())
}

#[test]
fn the_same_run_over_a_pseudo_terminal_tcp_and_a_childs_streams() {
    let stop = Arc::new(AtomicBool::new(false));
    let stage = serve::Stage::open().unwrap();
    let path = stage.path().to_str().unwrap().to_owned();
    let listener = serve::listen("127.0.0.1:0".parse().unwrap()).unwrap();
    let address = format!("tcp://{}", listener.local_addr().unwrap());
    let flags = (Arc::clone(&stop), Arc::clone(&stop));
    let terminal = std::thread::spawn(move || stage.serve(&mut healthy(), &flags.0));
    let network = std::thread::spawn(move || serve::tcp(&listener, &mut healthy(), &flags.1));
    assert_eq!(probe(&path, 115_200, Duration::from_secs(2)), Speaks::At);
    assert_eq!(asks(&path, None), "connected");
    assert_eq!(asks(&address, None), "connected");
    let through = format!(
        "exec 3<>/dev/tcp/{}; cat <&3 & cat >&3",
        address.trim_start_matches("tcp://").replace(':', "/")
    );
    if std::path::Path::new("/bin/bash").exists() {
        assert_eq!(asks("", Some(&format!("bash -c '{through}'"))), "connected");
    }
    stop.store(true, Ordering::Relaxed);
    terminal.join().unwrap().unwrap();
    network.join().unwrap().unwrap();
}

#[test]
fn a_port_that_is_not_there_is_told_as_such() {
    let error = port::open("/dev/no-such-port", 9600, None).err().unwrap().to_string();
    assert!(error.contains("there is no such port"), "{error}");
}

#[test]
fn what_is_no_port_is_said_so() {
    let words = |name: &str| {
        mastside::port::open(name, 115_200, None).err().map(|e| e.to_string()).unwrap_or_default()
    };
    assert!(words(concat!(env!("CARGO_MANIFEST_DIR"), "/Cargo.toml")).contains("this is a file"));
    assert!(words(env!("CARGO_MANIFEST_DIR")).contains("this is a file"));
    if cfg!(unix) {
        assert!(words("/dev/null").contains("no serial port"));
    }
    assert!(words("/no/such/port").contains("there is no such port"));
}
