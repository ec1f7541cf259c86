//! The standard streams of a child process, for a modem behind another machine's shell.

use super::line::Port;
use std::io::{self, Read, Write};
use std::process::{self, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

/// A running command.
pub(super) struct Child {
    process: process::Child,
    /// Taken away at the end, which most commands take for their own.
    input: Option<process::ChildStdin>,
    output: Receiver<Vec<u8>>,
    left: Vec<u8>,
}

impl Child {
    /// Starts a command through the system's shell.
    pub(super) fn start(command: &str) -> io::Result<Self> {
        let (shell, flag) = if cfg!(windows) { ("cmd", "/C") } else { ("sh", "-c") };
        let mut process = Command::new(shell)
            .args([flag, command])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::inherit())
            .spawn()?;
        let missing = || io::Error::other("the command has no standard streams");
        let input = process.stdin.take().ok_or_else(missing)?;
        let mut stream = process.stdout.take().ok_or_else(missing)?;
        let (sender, output) = channel();
        std::thread::spawn(move || {
            let mut buffer = [0; 4096];
            while let Ok(n @ 1..) = stream.read(&mut buffer) {
                if sender.send(buffer[..n].to_vec()).is_err() {
                    return;
                }
            }
        });
        Ok(Self { process, input: Some(input), output, left: Vec::new() })
    }
}

impl Port for Child {
    fn read(&mut self, buffer: &mut [u8], wait: Duration) -> io::Result<usize> {
        if self.left.is_empty() {
            self.left = match self.output.recv_timeout(wait) {
                Ok(bytes) => bytes,
                Err(RecvTimeoutError::Timeout) => return Ok(0),
                Err(RecvTimeoutError::Disconnected) => return Err(io::ErrorKind::BrokenPipe.into()),
            };
        }
        let n = self.left.len().min(buffer.len());
        buffer[..n].copy_from_slice(&self.left[..n]);
        self.left.drain(..n);
        Ok(n)
    }

    fn write(&mut self, bytes: &[u8]) -> io::Result<()> {
        let input = self.input.as_mut().ok_or(io::ErrorKind::BrokenPipe)?;
        input.write_all(bytes)?;
        input.flush()
    }
}

impl Drop for Child {
    fn drop(&mut self) {
        const PATIENCE: Duration = Duration::from_secs(2);
        const TURN: Duration = Duration::from_millis(20);
        // The end of its input lets a shell end what it started; a kill would leave that running.
        self.input = None;
        let begun = Instant::now();
        while begun.elapsed() < PATIENCE {
            match self.process.try_wait() {
                Ok(None) => std::thread::sleep(TURN),
                Ok(Some(_)) | Err(_) => return,
            }
        }
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

#[cfg(test)]
#[cfg(unix)]
mod tests {
    use super::*;

    #[test]
    fn what_the_command_started_ends_with_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("pid");
        let command =
            format!("sleep 60 & echo $! >{0}; trap \"kill $!\" EXIT; cat", path.display());
        let mut child = Child::start(&command).unwrap();
        child.write(b"AT\r\n").unwrap();
        let mut buffer = [0; 16];
        assert_eq!(child.read(&mut buffer, Duration::from_secs(10)).unwrap(), 4);
        let pid = std::fs::read_to_string(&path).unwrap();
        let begun = Instant::now();
        drop(child);
        assert!(begun.elapsed() < Duration::from_secs(2));
        let there = std::path::Path::new("/proc").join(pid.trim());
        std::thread::sleep(Duration::from_millis(200));
        let state = std::fs::read_to_string(there.join("stat")).unwrap_or_default();
        // Whoever inherits a process that ended may not have taken note of it yet.
        assert!(state.is_empty() || state.contains(") Z "), "{state}");
    }
}
