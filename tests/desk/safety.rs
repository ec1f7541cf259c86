//! Who is let in, what every answer forbids, limits on size, number and time, hostile pastes, the stop.

use super::running::{Desk, coded};
use std::io::{Read, Write};
use std::net::TcpStream;
use std::time::{Duration, Instant};

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
fn every_answer_forbids_inline_code_frames_copies_and_foreign_sources() {
    let desk = Desk::open();
    for path in ["/", "/none", "/style.css", "/desk.js", "/rules", "/lookup?q=x"] {
        let (_, head, _) = desk.get(path);
        let policy =
            head.split("content-security-policy: ").nth(1).unwrap().lines().next().unwrap();
        assert!(policy.starts_with("default-src 'none'") && !policy.contains("unsafe"), "{policy}");
        assert!(policy.contains("frame-ancestors 'none'") && !policy.contains("http"), "{policy}");
        for header in [
            "cache-control: no-store",
            "x-content-type-options: nosniff",
            "referrer-policy: same-origin",
        ] {
            assert!(head.contains(header), "{path}: {header}");
        }
    }
    let page = desk.get("/").2;
    assert!(
        !page.contains(" style=") && !page.contains(" onclick") && !page.contains("<style"),
        "{page}"
    );
    assert!(
        !page.contains("//") || page.matches("//").count() == page.matches("http://127").count(),
        "{page}"
    );
}

#[test]
fn a_request_without_host_or_from_an_unnamed_origin_is_refused() {
    let desk = Desk::open();
    assert_eq!(desk.raw("GET / HTTP/1.1\r\n\r\n").0 / 100, 4);
    let bare = format!("GET / HTTP/1.1\r\n{}Origin: null\r\n\r\n", desk.own());
    assert_eq!(desk.raw(&bare).0, 403);
    let bare = format!("POST /explain HTTP/1.1\r\n{}Content-Length: 0\r\n\r\n", desk.own());
    assert_eq!(desk.raw(&bare).0, 403);
    let port =
        format!("GET / HTTP/1.1\r\n{}\r\n", desk.own().replace(&desk.port.to_string(), "80"));
    assert_eq!(desk.raw(&port).0, 421);
}

#[test]
fn it_listens_on_loopback_only_and_on_both_of_its_addresses() {
    let desk = Desk::open();
    if let Ok(mut stream) = TcpStream::connect(("::1", desk.port)) {
        let own = desk.own().replace("127.0.0.1", "[::1]");
        stream.write_all(format!("GET / HTTP/1.1\r\n{own}\r\n").as_bytes()).unwrap();
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    }
    // An address of this computer that is not 127.0.0.1; every one of 127/8 leads here on Linux.
    #[cfg(target_os = "linux")]
    assert!(TcpStream::connect(("127.0.0.2", desk.port)).is_err());
}

#[test]
fn a_body_that_grows_too_large_without_saying_so_gets_the_page() {
    let desk = Desk::open();
    let mut stream = desk.connect();
    let head = desk.head(0).replace("Content-Length: 0", "Transfer-Encoding: chunked");
    stream.write_all(head.as_bytes()).unwrap();
    let piece = format!("100000\r\n{}\r\n", "a".repeat(0x10_0000));
    for _ in 0..18 {
        if stream.write_all(piece.as_bytes()).is_err() {
            break;
        }
    }
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    let answer = String::from_utf8_lossy(&answer);
    assert!(answer.starts_with("HTTP/1.1 413") && answer.contains("16 MiB"), "{answer}");
}

#[test]
fn thirty_two_are_served_at_once_and_the_next_one_waits_for_a_place() {
    let desk = Desk::open();
    let mut stalled: Vec<_> = (0..32).map(|_| desk.connect()).collect();
    for stream in &mut stalled {
        stream.write_all(b"GET / HT").unwrap();
    }
    std::thread::sleep(Duration::from_millis(300));
    let mut next = desk.connect();
    next.write_all(format!("GET / HTTP/1.1\r\n{}\r\n", desk.own()).as_bytes()).unwrap();
    next.set_read_timeout(Some(Duration::from_millis(700))).unwrap();
    let mut byte = [0; 1];
    assert!(next.read(&mut byte).is_err(), "all places are taken");
    stalled.pop();
    next.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
    next.read_exact(&mut byte).unwrap();
}

#[test]
fn slow_heads_and_bodies_are_ended_and_harm_nobody() {
    let desk = Desk::open();
    let mut head = desk.connect();
    head.write_all(b"GET / HT").unwrap();
    let mut body = desk.connect();
    body.write_all(format!("{}token=", desk.head(1000)).as_bytes()).unwrap();
    // One that asks and reads nothing.
    let mut deaf = desk.connect();
    deaf.write_all(format!("GET /rules HTTP/1.1\r\n{}\r\n", desk.own()).as_bytes()).unwrap();
    let begun = Instant::now();
    assert_eq!(desk.get("/").0, 200);
    assert!(begun.elapsed() < Duration::from_secs(5));
    for stream in [&mut head, &mut body] {
        let mut answer = Vec::new();
        let _ = stream.read_to_end(&mut answer);
        assert!(!answer.starts_with(b"HTTP/1.1 200"));
    }
    assert!(begun.elapsed() < Duration::from_secs(25), "{:?}", begun.elapsed());
    assert_eq!(desk.get("/").0, 200);
}

/// What others try to bring onto a page; each is put behind the same dialogue.
const HOSTILE: [&str; 9] = [
    "</code></div><script>alert(1)</script>",
    "<img src=x onerror=alert(1)><svg onload=alert(1)>",
    "\" autofocus onfocus=alert(1) x=\"",
    "</textarea></form><form action=//z.example><input name=token>",
    "\u{1b}[2J\u{1b}]0;x\u{7}\u{9b}31m\u{0}\u{8}\r\r\n\u{c}",
    "\u{202e}drawkcab\u{2066}\u{200f}\u{feff}\u{2028}\u{e0041}",
    "&lt;b&gt; &#60;script&#62; %3Cscript%3E %3c; %next; %26",
    "<!-- ]]> <![CDATA[ <!DOCTYPE html> <base href=//z.example>",
    "{{7*7}} ${7*7} #{7*7} javascript:alert(1)",
];

/// The elements of a page in order.
fn shape(page: &str) -> Vec<&str> {
    page.split('<').skip(1).filter_map(|tag| tag.split(['>', ' ', '\n']).next()).collect()
}

#[test]
fn hostile_pastes_are_text_and_nothing_else() {
    let desk = Desk::open();
    let token = desk.token();
    let explained = |text: &str| {
        let text = format!("AT+CPIN?\n+CPIN: SIM PIN\nOK\n{text}\n");
        let (status, head, page) = desk.post(&[("token", &token), ("text", &text)]);
        assert_eq!(status, 200, "{head}");
        page
    };
    let harmless = explained("a word");
    for hostile in HOSTILE {
        let page = explained(hostile);
        // A bare CR is a line end of its own, so the number of lines may differ.
        let lines = |page: &str| -> Vec<String> {
            let parts = shape(page).into_iter().map(str::to_owned);
            parts
                .collect::<Vec<_>>()
                .join(" ")
                .split(" div span /span code")
                .map(str::to_owned)
                .collect()
        };
        let (was, is) = (lines(&harmless), lines(&page));
        assert_eq!((was.first(), was.last()), (is.first(), is.last()), "{hostile:?}");
        for obeyed in
            ['\u{1b}', '\u{7}', '\u{9b}', '\u{0}', '\u{202e}', '\u{2066}', '\u{e0041}', '\u{2028}']
        {
            assert!(!page.contains(obeyed), "{hostile:?}: {obeyed:?}");
        }
    }
}

#[test]
fn bytes_that_are_no_text_and_megabytes_in_one_line_are_answered() {
    let desk = Desk::open();
    let token = desk.token();
    let bytes: String = (0..=255).map(|b| format!("%{b:02x}")).collect();
    let body = format!("token={token}&text={bytes}");
    let (status, ..) = desk.raw(&format!("{}{body}", desk.head(body.len())));
    assert!(status == 200 || status == 400 || status == 422, "{status}");
    // A program built without optimization takes its time.
    let megabytes = if cfg!(debug_assertions) { 1 } else { 5 };
    let line = "+CEREG: 0,3 <b> ".repeat(megabytes * 1024 * 1024 / 16);
    let body = format!("token={token}&text={}", line.replace(' ', "+").replace('+', "%2b"));
    let (status, _, page) = desk.raw(&format!("{}{body}", desk.head(body.len())));
    assert_eq!(status, 200);
    assert!(!page.contains("0,3 <b>"));
}

#[test]
fn two_texts_at_the_same_time_never_meet() {
    let desk = Desk::open();
    let token = desk.token();
    std::thread::scope(|scope| {
        for person in 0..8 {
            let (desk, token) = (&desk, &token);
            scope.spawn(move || {
                for round in 0..4 {
                    let own = format!("hut{person}x{round}.example");
                    let text = format!("AT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"{own}\"\nOK\n");
                    let (status, _, page) = desk.post(&[("token", token), ("text", &text)]);
                    assert!(status == 200 && page.contains(&own));
                    let huts =
                        page.match_indices("hut").filter(|(at, _)| page[*at..].starts_with("hut"));
                    for (at, _) in huts {
                        assert!(page[at..].starts_with(&own), "{}", &page[at..at + 20]);
                    }
                }
            });
        }
    });
}

#[test]
fn no_paste_is_in_a_log_an_error_or_an_address() {
    let desk = Desk::open();
    let token = desk.token();
    let secret = "wren-secret-apn.example";
    let text = format!("AT+CGDCONT?\n+CGDCONT: 1,\"IP\",\"{secret}\"\nOK\n");
    assert_eq!(desk.post(&[("token", &token), ("text", &text)]).0, 200);
    let (status, head, page) = desk.post(&[("token", "wrong"), ("text", &text)]);
    assert!(status == 403 && !head.contains(secret) && !page.contains(secret));
    let (status, head, page) =
        desk.raw(&format!("GET /explain?text={} HTTP/1.1\r\n{}\r\n", coded(secret), desk.own()));
    assert!(status == 405 && !head.contains(secret) && !page.contains(secret));
    assert_eq!(desk.end(), "");
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

#[cfg(unix)]
#[test]
fn a_request_in_flight_gets_its_answer_before_the_stop() {
    let mut desk = Desk::open();
    let token = desk.token();
    let text = "AT+CPIN?\n+CPIN: SIM PIN\nOK\n";
    let body = format!("token={token}&text={}", coded(text));
    let mut stream = desk.connect();
    let (begin, end) = body.split_at(body.len() - 10);
    stream.write_all(format!("{}{begin}", desk.head(body.len())).as_bytes()).unwrap();
    std::thread::sleep(Duration::from_millis(200));
    let id = i32::try_from(desk.child.id()).unwrap();
    rustix::process::kill_process(
        rustix::process::Pid::from_raw(id).unwrap(),
        rustix::process::Signal::INT,
    )
    .unwrap();
    std::thread::sleep(Duration::from_millis(200));
    stream.write_all(end.as_bytes()).unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    assert!(answer.starts_with("HTTP/1.1 200") && answer.ends_with("</html>"), "{answer}");
    assert!(desk.child.wait().unwrap().success());
    assert!(TcpStream::connect(("127.0.0.1", desk.port)).is_err());
}
