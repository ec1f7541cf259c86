//! Whether anything passes: a TCP connection to a host, again and again, in a thread of its own.
//!
//! An answer of any kind counts, a refused connection too: it came over the link. Which link it takes is for the
//! routes of the computer to say.

use std::io::ErrorKind;
use std::net::{TcpStream, ToSocketAddrs};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::time::Duration;

/// Nothing within this is no answer (common practice, no source).
const PATIENCE: Duration = Duration::from_secs(5);
/// The port where none is named: that of HTTPS (RFC 9110 §4.2.2).
const USUAL_PORT: u16 = 443;

/// A host that is probed until this is dropped.
#[derive(Debug)]
pub struct Probe {
    outcomes: Receiver<Result<(), String>>,
    /// The thread ends when this goes.
    _ends: Sender<()>,
}

impl Probe {
    /// Probes `host` or `host:port` at this interval.
    pub fn start(host: &str, every: Duration) -> Self {
        let (told, outcomes) = channel();
        let (ends, ended) = channel();
        let host = with_port(host);
        std::thread::spawn(move || {
            loop {
                if told.send(once(&host)).is_err() {
                    return;
                }
                match ended.recv_timeout(every) {
                    Err(RecvTimeoutError::Timeout) => {}
                    _ => return,
                }
            }
        });
        Self { outcomes, _ends: ends }
    }

    /// The latest outcome since the last call.
    pub fn latest(&self) -> Option<Result<(), String>> {
        self.outcomes.try_iter().last()
    }
}

/// The host with a port.
fn with_port(host: &str) -> String {
    let literal_v6 = host.parse::<std::net::Ipv6Addr>().is_ok();
    match host.rsplit_once(':') {
        _ if literal_v6 => format!("[{host}]:{USUAL_PORT}"),
        Some((_, port)) if port.parse::<u16>().is_ok() => host.to_owned(),
        _ => format!("{host}:{USUAL_PORT}"),
    }
}

fn once(host: &str) -> Result<(), String> {
    let addresses =
        host.to_socket_addrs().map_err(|e| format!("the name was not resolved: {e}"))?;
    let mut why = "the name has no address".to_owned();
    for address in addresses.take(2) {
        match TcpStream::connect_timeout(&address, PATIENCE) {
            Ok(_) => return Ok(()),
            Err(error) if error.kind() == ErrorKind::ConnectionRefused => return Ok(()),
            Err(error) => why = error.to_string(),
        }
    }
    Err(why)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_host_gets_its_port() {
        for (host, whole) in [
            ("probe.example", "probe.example:443"),
            ("192.0.2.9:53", "192.0.2.9:53"),
            ("2001:db8::9", "[2001:db8::9]:443"),
            ("[2001:db8::9]:53", "[2001:db8::9]:53"),
        ] {
            assert_eq!(with_port(host), whole);
        }
    }

    #[test]
    fn a_refused_connection_is_an_answer_and_an_unknown_name_is_none() {
        let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
        let address = taken.local_addr().unwrap().to_string();
        assert_eq!(once(&address), Ok(()));
        drop(taken);
        assert_eq!(once(&address), Ok(()));
        assert!(once("no-such-host.invalid:443").is_err());
    }

    #[test]
    fn outcomes_come_until_the_probe_is_dropped() {
        let probe = Probe::start("127.0.0.1:9", Duration::from_millis(10));
        let mut seen = None;
        for _ in 0..200 {
            seen = seen.or_else(|| probe.latest());
            if seen.is_some() {
                break;
            }
            std::thread::sleep(Duration::from_millis(10));
        }
        assert_eq!(seen, Some(Ok(())));
    }
}
