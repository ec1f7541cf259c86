//! Whether anything passes: a TCP connection to a host, again and again, in a thread of its own.
//!
//! An answer of any kind counts, a refused connection too: it came over the link. Which link it takes is for the routes
//! of the computer to say, unless the modem's interface is named; the name of the host is resolved by the computer's
//! own resolver either way.

use socket2::{Domain, Protocol, Socket, Type};
use std::io::{self, ErrorKind};
use std::net::{SocketAddr, ToSocketAddrs};
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
    /// Probes `host` or `host:port` at this interval, through the network interface of that name where one is named.
    pub fn start(host: &str, interface: Option<&str>, every: Duration) -> Self {
        let (told, outcomes) = channel();
        let (ends, ended) = channel();
        let host = with_port(host);
        let interface = interface.map(str::to_owned);
        std::thread::spawn(move || {
            loop {
                if told.send(once(&host, interface.as_deref())).is_err() {
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

fn once(host: &str, interface: Option<&str>) -> Result<(), String> {
    let addresses =
        host.to_socket_addrs().map_err(|e| format!("the name was not resolved: {e}"))?;
    let mut why = "the name has no address".to_owned();
    for address in addresses.take(2) {
        let socket = socket(address, interface)?;
        match socket.connect_timeout(&address.into(), PATIENCE) {
            Ok(()) => return Ok(()),
            Err(error) if error.kind() == ErrorKind::ConnectionRefused => return Ok(()),
            Err(error) => why = error.to_string(),
        }
    }
    Err(why)
}

/// A socket whose packets leave by the interface that is named, whatever the routes say.
fn socket(address: SocketAddr, interface: Option<&str>) -> Result<Socket, String> {
    let socket = Socket::new(Domain::for_address(address), Type::STREAM, Some(Protocol::TCP));
    let socket = socket.map_err(|e| e.to_string())?;
    if let Some(name) = interface {
        bind(&socket, name).map_err(|e| format!("the interface {name:?}: {e}"))?;
    }
    Ok(socket)
}

/// Binds a socket to an interface (`SO_BINDTODEVICE`; Linux from 5.7 on lets every user do so).
#[cfg(target_os = "linux")]
fn bind(socket: &Socket, interface: &str) -> io::Result<()> {
    socket.bind_device(Some(interface.as_bytes()))
}

/// Other systems choose the interface by their routes alone.
#[cfg(not(target_os = "linux"))]
fn bind(_socket: &Socket, _interface: &str) -> io::Result<()> {
    Err(io::Error::new(ErrorKind::Unsupported, "only Linux binds a probe to an interface"))
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
        assert_eq!(once(&address, None), Ok(()));
        drop(taken);
        assert_eq!(once(&address, None), Ok(()));
        assert!(once("no-such-host.invalid:443", None).is_err());
    }

    #[cfg(target_os = "linux")]
    #[test]
    fn a_probe_leaves_by_the_interface_that_is_named() {
        let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
        let address = taken.local_addr().unwrap().to_string();
        assert_eq!(once(&address, Some("lo")), Ok(()));
        let gone = once(&address, Some("none0")).unwrap_err();
        assert!(gone.starts_with("the interface \"none0\": No such device"), "{gone}");
    }

    #[test]
    fn outcomes_come_until_the_probe_is_dropped() {
        let probe = Probe::start("127.0.0.1:9", None, Duration::from_millis(10));
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
