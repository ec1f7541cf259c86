//! Raw TCP, as serial servers offer it.

use super::line::Port;
use std::io::{self, Read, Write};
use std::net::{TcpStream, ToSocketAddrs};
use std::time::Duration;

/// A TCP connection.
pub(super) struct Tcp {
    stream: TcpStream,
}

const PATIENCE: Duration = Duration::from_secs(5);

impl Tcp {
    /// Connects to `host:port`.
    pub(super) fn connect(address: &str) -> io::Result<Self> {
        let mut last =
            io::Error::new(io::ErrorKind::NotFound, "no such host; write tcp://host:port");
        for address in address.to_socket_addrs()? {
            match TcpStream::connect_timeout(&address, PATIENCE) {
                Ok(stream) => {
                    stream.set_nodelay(true)?;
                    stream.set_write_timeout(Some(PATIENCE))?;
                    return Ok(Self { stream });
                }
                Err(error) => last = error,
            }
        }
        Err(last)
    }
}

impl Port for Tcp {
    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        self.stream.set_read_timeout(Some(wait.max(Duration::from_millis(1))))?;
        match self.stream.read(buffer) {
            Ok(0) => Err(io::ErrorKind::BrokenPipe.into()),
            Ok(n) => Ok(n),
            Err(e)
                if matches!(
                    e.kind(),
                    io::ErrorKind::WouldBlock
                        | io::ErrorKind::TimedOut
                        | io::ErrorKind::Interrupted
                ) =>
            {
                Ok(0)
            }
            Err(e) => Err(e),
        }
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.stream.write_all(bytes)
    }
}
