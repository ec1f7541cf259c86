//! Any bytes as a request to the desk, by who may ask it: every request has an answer, and none is a failure of the desk.
//!
//! The first byte chooses what the others are: a whole request, an address, or the body of a form at one of the addresses.

#![no_main]

use libfuzzer_sys::fuzz_target;
use mastside::carrier::ProfileStore;
use mastside::desk::{Desktop, serve};
use mastside::rules::Team;
use std::io::{Read, Write};
use std::net::{Shutdown, TcpStream};
use std::sync::LazyLock;
use std::sync::mpsc::channel;
use std::time::Duration;

/// Where forms are sent.
const FORMS: &[&str] = &["/explain", "/tickets", "/tickets/T-1", "/tickets/T-1/close"];

/// After so many requests the tickets that they made are thrown away.
const CLEAN: u32 = 500;

struct Desk {
    port: u16,
    /// The lines of a request's head that let it in.
    own: String,
    /// What its forms carry.
    token: String,
    tickets: tempfile::TempDir,
}

static DESK: LazyLock<Desk> = LazyLock::new(|| {
    let tickets = tempfile::tempdir().expect("a folder can be made");
    let desktop = Desktop {
        profiles: ProfileStore::shipped(),
        team: Team::default(),
        tickets: Some(tickets.path().to_owned()),
    };
    let (send, receive) = channel();
    std::thread::spawn(move || {
        serve(0, desktop, |address| send.send(address.to_owned()).map_err(std::io::Error::other))
    });
    let address = receive.recv().expect("the desk starts");
    let (host, key) = address["http://".len()..].split_once("/?key=").expect("an address with a key");
    let own = format!("Host: {host}\r\nOrigin: http://{host}\r\nCookie: mastside-key={key}\r\n");
    let port = host.rsplit(':').next().and_then(|port| port.parse().ok()).expect("a port");
    let mut desk = Desk { port, own, token: String::new(), tickets };
    let page = desk.answer(format!("GET / HTTP/1.1\r\n{}\r\n", desk.own).as_bytes(), true);
    let page = String::from_utf8(page).expect("a page is UTF-8");
    let token = page.split("name=\"token\" value=\"").nth(1).and_then(|rest| rest.split('"').next());
    desk.token = token.expect("a form with a token").to_owned();
    desk
});

impl Desk {
    /// What the desk answers; a request that may not be whole ends with the end of what is sent.
    fn answer(&self, request: &[u8], whole: bool) -> Vec<u8> {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("the desk listens");
        stream.set_read_timeout(Some(Duration::from_secs(20))).expect("a time-out can be set");
        // A request that is refused early is not read to its end.
        let _ = stream.write_all(request);
        if !whole {
            let _ = stream.shutdown(Shutdown::Write);
        }
        let mut answer = Vec::new();
        match stream.read_to_end(&mut answer) {
            Err(error) if error.kind() == std::io::ErrorKind::WouldBlock => panic!("no answer"),
            _ => answer,
        }
    }
}

fuzz_target!(|bytes: &[u8]| {
    let Some((kind, rest)) = bytes.split_first() else { return };
    let desk = &*DESK;
    let whole = *kind != 0;
    let mut request = match kind {
        0 => Vec::new(),
        1 => {
            // What ends an address would make another request of it.
            if rest.iter().any(|byte| *byte <= b' ') {
                return;
            }
            [b"GET /", rest, format!(" HTTP/1.1\r\n{}\r\n", desk.own).as_bytes()].concat()
        }
        _ => {
            let path = FORMS[usize::from(*kind) % FORMS.len()];
            let begin = format!("token={}&", desk.token);
            let length = begin.len() + rest.len();
            let head = format!(
                "POST {path} HTTP/1.1\r\n{}Content-Type: application/x-www-form-urlencoded\r\n\
                 Content-Length: {length}\r\n\r\n{begin}",
                desk.own
            );
            head.into_bytes()
        }
    };
    if *kind != 1 {
        request.extend(rest);
    }
    let answer = desk.answer(&request, whole);
    let status = answer.strip_prefix(b"HTTP/1.1 ").and_then(|rest| rest.first());
    assert!(!whole || status.is_some(), "no answer to {request:?}");
    assert!(status != Some(&b'5'), "{}", String::from_utf8_lossy(&answer));
    static ASKED: std::sync::atomic::AtomicU32 = std::sync::atomic::AtomicU32::new(0);
    if ASKED.fetch_add(1, std::sync::atomic::Ordering::Relaxed) % CLEAN == 0 {
        for entry in std::fs::read_dir(desk.tickets.path()).into_iter().flatten().flatten() {
            // A folder that stays is only read once more.
            let _ = std::fs::remove_dir_all(entry.path());
        }
    }
});
