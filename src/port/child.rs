//! The standard streams of a child process, for a modem behind another machine's shell.

use super::line::Port;
use std::io::{self, Read, Write};
use std::process::{self, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

/// A running command.
pub(super) struct Child {
    process: process::Child,
    input: process::ChildStdin,
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
        Ok(Self { process, input, output, left: Vec::new() })
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
        self.input.write_all(bytes)?;
        self.input.flush()
    }
}

impl Drop for Child {
    fn drop(&mut self) {
        // The command may have ended by itself.
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
