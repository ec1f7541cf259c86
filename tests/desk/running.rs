//! A running desk, and requests to it byte by byte.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, ChildStderr, Command, Stdio};
use std::time::Duration;

/// A running desk; it ends with the test.
pub(crate) struct Desk {
    pub(crate) child: Child,
    pub(crate) port: u16,
    pub(crate) key: String,
    stderr: Option<ChildStderr>,
}

impl Drop for Desk {
    fn drop(&mut self) {
        // Whatever became of it, nothing stays behind.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Desk {
    pub(crate) fn open() -> Self {
        Self::with(&[])
    }

    pub(crate) fn with(arguments: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_mastside"))
            .args(["desk", "--port", "0"])
            .args(arguments)
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let stderr = child.stderr.take();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let rest = line.trim().strip_prefix("http://127.0.0.1:").unwrap();
        let (port, key) = rest.split_once("/?key=").unwrap();
        Self { port: port.parse().unwrap(), key: key.to_owned(), child, stderr }
    }

    /// Sends a request as it stands; gives the status, the headers and the body.
    pub(crate) fn raw(&self, request: &str) -> (u16, String, String) {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
        stream.write_all(request.as_bytes()).unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        let answer = String::from_utf8(answer).unwrap();
        let (head, body) = answer.split_once("\r\n\r\n").unwrap();
        (head[9..12].parse().unwrap(), head.to_ascii_lowercase(), body.to_owned())
    }

    pub(crate) fn own(&self) -> String {
        format!("Host: 127.0.0.1:{}\r\nCookie: mastside-key={}\r\n", self.port, self.key)
    }

    pub(crate) fn get(&self, path: &str) -> (u16, String, String) {
        self.raw(&format!("GET {path} HTTP/1.1\r\n{}\r\n", self.own()))
    }

    /// The head of a form that is `length` bytes long.
    pub(crate) fn head(&self, length: usize) -> String {
        format!(
            "POST /explain HTTP/1.1\r\n{}Origin: http://127.0.0.1:{}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {length}\r\n\r\n",
            self.own(),
            self.port
        )
    }

    pub(crate) fn connect(&self) -> TcpStream {
        let stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(Duration::from_mins(1))).unwrap();
        stream
    }

    /// Ends it and gives whatever it wrote to standard error.
    pub(crate) fn end(mut self) -> String {
        let _ = self.child.kill();
        let mut said = String::new();
        self.stderr.take().unwrap().read_to_string(&mut said).unwrap();
        said
    }

    pub(crate) fn token(&self) -> String {
        let (_, _, page) = self.get("/");
        page.split("name=\"token\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned()
    }

    pub(crate) fn post(&self, fields: &[(&str, &str)]) -> (u16, String, String) {
        self.post_to("/explain", fields)
    }

    pub(crate) fn post_to(&self, path: &str, fields: &[(&str, &str)]) -> (u16, String, String) {
        let body: Vec<_> = fields.iter().map(|(n, v)| format!("{n}={}", coded(v))).collect();
        let body = body.join("&");
        self.raw(&format!(
            "POST {path} HTTP/1.1\r\n{}Origin: http://127.0.0.1:{}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            self.own(),
            self.port,
            body.len()
        ))
    }
}

pub(crate) fn coded(text: &str) -> String {
    text.bytes().map(|b| format!("%{b:02x}")).collect()
}
