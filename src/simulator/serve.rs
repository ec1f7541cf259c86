//! A machine on a pseudo-terminal or a TCP port.

use super::machine::{Behind, Machine, Sent};
use rustix::event::{PollFd, PollFlags, poll};
use rustix::fd::{AsFd, OwnedFd};
use rustix::fs::{Mode, OFlags};
use rustix::io::{FdFlags, fcntl_setfd};
use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
use rustix::termios::{OptionalActions, tcgetattr, tcsetattr};
use std::io::{self, Read, Write};
use std::net::{SocketAddr, TcpListener};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// A pseudo-terminal with its path.
#[derive(Debug)]
pub struct Stage {
    master: OwnedFd,
    /// Kept open, so that the line does not end with every client that leaves.
    slave: OwnedFd,
    path: PathBuf,
    link: Option<PathBuf>,
}

impl Stage {
    /// Opens a pseudo-terminal.
    ///
    /// # Errors
    ///
    /// What the system says.
    pub fn open() -> io::Result<Self> {
        let master = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY)?;
        // Not every Unix takes this flag on opening.
        fcntl_setfd(&master, FdFlags::CLOEXEC)?;
        grantpt(&master)?;
        unlockpt(&master)?;
        let name = ptsname(&master, Vec::new())?;
        let path = PathBuf::from(name.to_string_lossy().into_owned());
        let slave = rustix::fs::open(
            &path,
            OFlags::RDWR | OFlags::NOCTTY | OFlags::CLOEXEC,
            Mode::empty(),
        )?;
        let mut settings = tcgetattr(&slave)?;
        settings.make_raw();
        tcsetattr(&slave, OptionalActions::Now, &settings)?;
        Ok(Self { master, slave, path, link: None })
    }

    /// The path to open.
    pub fn path(&self) -> &Path {
        self.link.as_deref().unwrap_or(&self.path)
    }

    /// Gives it a name that stays the same from run to run: a link, put in place at once. Never
    /// replaces anything that is not a link.
    ///
    /// # Errors
    ///
    /// What the system says, or that something else stands there.
    pub fn link_at(&mut self, link: &Path) -> io::Result<()> {
        match std::fs::symlink_metadata(link) {
            Ok(there) if !there.is_symlink() => {
                return Err(io::Error::new(
                    io::ErrorKind::AlreadyExists,
                    "something that is no link is there already",
                ));
            }
            _ => {}
        }
        let fresh = link.with_extension(format!("new-{}", std::process::id()));
        std::os::unix::fs::symlink(&self.path, &fresh)?;
        std::fs::rename(&fresh, link)?;
        self.link = Some(link.to_owned());
        Ok(())
    }

    /// Serves until `stop` is set or the machine cuts the line.
    ///
    /// # Errors
    ///
    /// What the system says.
    pub fn serve(&self, machine: &mut dyn Machine, stop: &AtomicBool) -> io::Result<()> {
        let mut buffer = [0; 4096];
        let begun = Instant::now();
        while !stop.load(Ordering::Relaxed) {
            let mut fds = [PollFd::new(&self.master, PollFlags::IN)];
            let wait = rustix::event::Timespec { tv_sec: 0, tv_nsec: 20_000_000 };
            let ready = match poll(&mut fds, Some(&wait)) {
                Ok(n) => n,
                Err(rustix::io::Errno::INTR) => 0,
                Err(error) => return Err(error.into()),
            };
            if ready == 0 {
                // A client that was killed may have left its exclusive flag behind.
                let _ = rustix::termios::ioctl_tiocnxcl(&self.slave);
                let mut master = Writer(self.master.as_fd());
                if !deliver(machine.idle(begun.elapsed()), machine, begun, &mut master, stop)? {
                    return Ok(());
                }
                continue;
            }
            let n = match rustix::io::read(&self.master, &mut buffer) {
                Ok(n) => n,
                Err(rustix::io::Errno::INTR | rustix::io::Errno::AGAIN) => continue,
                Err(error) => return Err(error.into()),
            };
            let mut master = Writer(self.master.as_fd());
            let pieces = machine.feed(&buffer[..n], begun.elapsed());
            if !deliver(pieces, machine, begun, &mut master, stop)? {
                return Ok(());
            }
        }
        Ok(())
    }
}

struct Writer<'a>(rustix::fd::BorrowedFd<'a>);

impl Write for Writer<'_> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        Ok(rustix::io::write(self.0, bytes)?)
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Drop for Stage {
    fn drop(&mut self) {
        if let Some(link) = &self.link {
            // Nothing is lost when the link is gone already.
            let _ = std::fs::remove_file(link);
        }
    }
}

/// Sends the pieces with their pauses; `false` where the line ends. A line that is away stays silent
/// for its time, because neither a pseudo-terminal nor a TCP port can be pulled out.
fn deliver(
    pieces: Vec<Sent>,
    machine: &mut dyn Machine,
    begun: Instant,
    out: &mut impl Write,
    stop: &AtomicBool,
) -> io::Result<bool> {
    for piece in pieces {
        if !pause(piece.after_ms, stop) {
            return Ok(false);
        }
        out.write_all(&piece.bytes)?;
        match piece.behind {
            Behind::Stays => {}
            Behind::Ends => return Ok(false),
            Behind::Away(ms) => {
                if !pause(ms, stop) {
                    return Ok(false);
                }
                machine.plugged_in(begun.elapsed());
            }
        }
    }
    Ok(true)
}

/// Waits; `false` where the end came.
fn pause(ms: u64, stop: &AtomicBool) -> bool {
    let mut left = ms;
    while left > 0 && !stop.load(Ordering::Relaxed) {
        let turn = left.min(20);
        std::thread::sleep(Duration::from_millis(turn));
        left -= turn;
    }
    !stop.load(Ordering::Relaxed)
}

/// Serves one client after the other on a TCP port until `stop` is set.
///
/// # Errors
///
/// What the system says.
pub fn tcp(listener: &TcpListener, machine: &mut dyn Machine, stop: &AtomicBool) -> io::Result<()> {
    listener.set_nonblocking(true)?;
    let mut buffer = [0; 4096];
    let begun = Instant::now();
    while !stop.load(Ordering::Relaxed) {
        let mut stream = match listener.accept() {
            Ok((stream, _)) => stream,
            Err(e) if e.kind() == io::ErrorKind::WouldBlock => {
                std::thread::sleep(Duration::from_millis(5));
                continue;
            }
            Err(error) => return Err(error),
        };
        stream.set_nonblocking(false)?;
        stream.set_read_timeout(Some(Duration::from_millis(20)))?;
        while !stop.load(Ordering::Relaxed) {
            match stream.read(&mut buffer) {
                Ok(0) => break,
                Ok(n) => {
                    let pieces = machine.feed(&buffer[..n], begun.elapsed());
                    if !deliver(pieces, machine, begun, &mut stream, stop).unwrap_or(false) {
                        break;
                    }
                }
                Err(e)
                    if matches!(
                        e.kind(),
                        io::ErrorKind::WouldBlock
                            | io::ErrorKind::TimedOut
                            | io::ErrorKind::Interrupted
                    ) =>
                {
                    let pieces = machine.idle(begun.elapsed());
                    if !deliver(pieces, machine, begun, &mut stream, stop).unwrap_or(false) {
                        break;
                    }
                }
                Err(_) => break,
            }
        }
    }
    Ok(())
}

/// Opens a TCP port to serve on.
///
/// # Errors
///
/// What the system says.
pub fn listen(address: SocketAddr) -> io::Result<TcpListener> {
    TcpListener::bind(address)
}
