//! The desk as a browser meets it: who is let in, what every answer forbids, a text explained, followed up and saved.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// A running desk; it ends with the test.
struct Desk {
    child: Child,
    port: u16,
    key: String,
}

impl Drop for Desk {
    fn drop(&mut self) {
        // Whatever became of it, nothing stays behind.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

impl Desk {
    fn open() -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_mastside"))
            .args(["desk", "--port", "0"])
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let rest = line.trim().strip_prefix("http://127.0.0.1:").unwrap();
        let (port, key) = rest.split_once("/?key=").unwrap();
        Self { port: port.parse().unwrap(), key: key.to_owned(), child }
    }

    /// Sends a request as it stands; gives the status, the headers and the body.
    fn raw(&self, request: &str) -> (u16, String, String) {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).unwrap();
        stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
        stream.write_all(request.as_bytes()).unwrap();
        let mut answer = Vec::new();
        stream.read_to_end(&mut answer).unwrap();
        let answer = String::from_utf8(answer).unwrap();
        let (head, body) = answer.split_once("\r\n\r\n").unwrap();
        (head[9..12].parse().unwrap(), head.to_ascii_lowercase(), body.to_owned())
    }

    fn own(&self) -> String {
        format!("Host: 127.0.0.1:{}\r\nCookie: mastside-key={}\r\n", self.port, self.key)
    }

    fn get(&self, path: &str) -> (u16, String, String) {
        self.raw(&format!("GET {path} HTTP/1.1\r\n{}\r\n", self.own()))
    }

    fn token(&self) -> String {
        let (_, _, page) = self.get("/");
        page.split("name=\"token\" value=\"").nth(1).unwrap().split('"').next().unwrap().to_owned()
    }

    fn post(&self, fields: &[(&str, &str)]) -> (u16, String, String) {
        let body: Vec<_> = fields.iter().map(|(n, v)| format!("{n}={}", coded(v))).collect();
        let body = body.join("&");
        self.raw(&format!(
            "POST /explain HTTP/1.1\r\n{}Origin: http://127.0.0.1:{}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            self.own(),
            self.port,
            body.len()
        ))
    }
}

fn coded(text: &str) -> String {
    text.bytes().map(|b| format!("%{b:02x}")).collect()
}

#[test]
fn only_who_has_the_key_gets_in_and_the_key_leaves_the_address() {
    let desk = Desk::open();
    let host = format!("Host: 127.0.0.1:{}\r\n", desk.port);
    let (status, head, _) = desk.raw(&format!("GET /?key={} HTTP/1.1\r\n{host}\r\n", desk.key));
    assert_eq!(status, 303);
    assert!(head.contains("location: /\r\n") && !head.contains("location: /?"), "{head}");
    assert!(head.contains("httponly") && head.contains("samesite=strict"), "{head}");
    assert_eq!(desk.raw(&format!("GET / HTTP/1.1\r\n{host}\r\n")).0, 403);
    assert_eq!(desk.raw(&format!("GET /?key=0 HTTP/1.1\r\n{host}\r\n")).0, 403);
    let foreign = desk.own().replace("127.0.0.1", "desk.example");
    assert_eq!(desk.raw(&format!("GET / HTTP/1.1\r\n{foreign}\r\n")).0, 421);
    let other = "Origin: http://other.example\r\n";
    assert_eq!(desk.raw(&format!("GET / HTTP/1.1\r\n{}{other}\r\n", desk.own())).0, 403);
    let (status, head, _) = desk.get("/");
    assert_eq!(status, 200);
    for header in [
        "content-security-policy: default-src 'none'",
        "cache-control: no-store",
        "x-frame-options: deny",
    ] {
        assert!(head.contains(header), "{header}");
    }
}

#[test]
fn a_text_is_explained_followed_up_and_saved() {
    let desk = Desk::open();
    let token = desk.token();
    let text = "AT+CIMI\r\n001010123456789\r\nOK\r\nAT+CEREG?\r\n+CEREG: 0,3\r\nOK\r\n\u{1b}[31m50% <b>\"x\"\r\n";
    let (status, _, page) = desk.post(&[("token", &token), ("text", text)]);
    assert_eq!(status, 200);
    assert!(page.contains("registration/denied") && page.contains("class=\"cause\""), "{page}");
    assert!(!page.contains('\u{1b}') && !page.contains("<b>\"x\""), "{page}");
    let carried =
        page.split("name=\"carried\" value=\"").nth(1).unwrap().split('"').next().unwrap();
    let carried = carried
        .replace("&quot;", "\"")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&amp;", "&");
    let answer = "AT+CEREG=3\nOK\nAT+CEREG?\n+CEREG: 3,3,,,,0,8\nOK\n";
    let fields = [("token", &*token), ("carried", &*carried), ("answer", answer)];
    let (_, _, page) = desk.post(&fields);
    assert!(
        page.contains("registration/subscriber") && page.contains("The last text settled"),
        "{page}"
    );
    for (form, holds) in [
        ("html", "<!DOCTYPE html>"),
        ("markdown", "## "),
        ("message", "Hello,"),
        ("redacted", "AT+CIMI"),
    ] {
        let (status, head, body) = desk.post(&[&fields[..], &[("form", form)]].concat());
        assert_eq!(status, 200);
        assert!(
            head.contains("content-disposition: attachment") && body.contains(holds),
            "{form}: {body}"
        );
        assert!(!body.contains("001010123456789"), "{form}");
    }
}

#[test]
fn forms_without_the_token_and_pastes_that_are_too_large_are_refused() {
    let desk = Desk::open();
    assert_eq!(desk.post(&[("token", "0"), ("text", "AT")]).0, 403);
    assert_eq!(desk.post(&[("text", "AT")]).0, 422);
    let token = desk.token();
    assert_eq!(desk.post(&[("token", &token), ("text", " \n")]).0, 400);
    let head = format!(
        "POST /explain HTTP/1.1\r\n{}Origin: http://127.0.0.1:{}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: 99999999\r\n\r\n",
        desk.own(),
        desk.port
    );
    let (status, _, page) = desk.raw(&head);
    assert_eq!(status, 413);
    assert!(page.contains("16 MiB"), "{page}");
}

#[test]
fn look_ups_and_rules_are_there_and_a_stalled_client_harms_nobody() {
    let desk = Desk::open();
    let mut stalled = TcpStream::connect(("127.0.0.1", desk.port)).unwrap();
    stalled.write_all(b"GET / HT").unwrap();
    let begun = Instant::now();
    let (status, _, page) = desk.get("/lookup?q=band+20");
    assert!(status == 200 && page.contains("band 20"), "{page}");
    let (status, _, page) = desk.get("/rules/card/pin-required");
    assert!(status == 200 && page.contains("card/pin-required"), "{page}");
    assert_eq!(desk.get("/rules/card/none").0, 404);
    assert_eq!(desk.get("/none").0, 404);
    assert!(desk.get("/style.css").2.contains("--paper"));
    assert!(begun.elapsed() < Duration::from_secs(8));
}

#[cfg(unix)]
#[test]
fn it_stops_with_requests_in_flight() {
    let mut desk = Desk::open();
    let mut stalled = TcpStream::connect(("127.0.0.1", desk.port)).unwrap();
    stalled.write_all(b"GET / HT").unwrap();
    std::thread::sleep(Duration::from_millis(200));
    let begun = Instant::now();
    let id = i32::try_from(desk.child.id()).unwrap();
    rustix::process::kill_process(
        rustix::process::Pid::from_raw(id).unwrap(),
        rustix::process::Signal::INT,
    )
    .unwrap();
    assert!(desk.child.wait().unwrap().success());
    assert!(begun.elapsed() < Duration::from_secs(4));
}
