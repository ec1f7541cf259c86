//! Whole captures: a dressed response has the body of the plain one, a cut one says so.

use super::{Capture, Ending, Piece};

/// The prefixed lines of a text.
fn bodies(text: &str) -> Vec<(String, String)> {
    let mut found = Vec::new();
    Capture::new(text).read(|piece| {
        if let Piece::Exchange(exchange) = piece {
            let lines = exchange.lines.iter().filter(|line| !line.prefix.is_empty());
            found.extend(lines.map(|line| (line.prefix.to_owned(), line.text.to_owned())));
        }
    });
    found
}

const RESPONSES: [&str; 12] = [
    "+CREG: 0,1",
    "+CEREG: 2,5,\"0A11\",\"0003A2B1\",7",
    "+CSQ: 17,99",
    "+CPIN: READY",
    "+CPIN: SIM PIN",
    "+COPS: 0,0,\"River Test Net\",7",
    "+CGDCONT: 1,\"IP\",\"gauge.example\",\"0.0.0.0\",0,0",
    "+CESQ: 99,99,255,255,21,48",
    "+CGPADDR: 1,\"192.0.2.7\"",
    "+QENG: \"servingcell\",\"NOCONN\",\"LTE\",\"FDD\",001,01,A1B2C01,188,6300,-104",
    "^HCSQ: \"LTE\",48,35,86,14",
    "+CFUN: (0,1,4),(0,1)",
];

/// What stands before and behind a response in pastes, and is certainly no part of it.
const DRESSES: [(&str, &str); 48] = [
    ("", "\\r\\n"),
    ("", "<CR><LF>"),
    ("", "<cr>"),
    ("", "^M"),
    ("", "␍␊"),
    ("", "↵"),
    ("", "[CR]"),
    ("", "\\x0d\\x0a"),
    ("", "&lt;CR&gt;"),
    ("\x1b[32m", "\x1b[0m"),
    ("[32m", "[0m"),
    ("\\e[1m", "\\e[0m"),
    ("^[[33m", "^[[0m"),
    ("'", "'"),
    ("\"", "\""),
    ("`", "`"),
    ("“", "”"),
    ("(", ")"),
    ("[", "]"),
    ("{", "}"),
    ("**", "**"),
    ("_", "_"),
    ("> ", ""),
    ("  - ", ""),
    ("| ", " |"),
    ("12:00:01 RX: ", ""),
    ("[12:00:01.123] < ", ""),
    ("", " // now"),
    ("", " # now it is so"),
    ("", " -- see above"),
    ("", " ; again"),
    ("", " <- here"),
    ("", " ← here"),
    ("", " -> fine"),
    ("", " => fine"),
    ("", "OK"),
    ("", " OK"),
    ("", "\tOK"),
    ("..", "..OK.."),
    ("", "....OK.."),
    ("", " 12:00:02 RX: OK"),
    ("", "+CMTI: \"SM\",1"),
    ("<p>", "</p>"),
    ("<td>", "</td>"),
    ("rx b'", "\\r\\n'"),
    ("{\"line\": \"", "\"}"),
    ("", " "),
    ("", "\\"),
];

#[test]
fn a_dressed_response_has_the_body_of_the_plain_one() {
    let mut wrong = Vec::new();
    for response in RESPONSES {
        let plain = bodies(response);
        assert_eq!(plain.len(), 1, "{response}");
        for (before, behind) in DRESSES {
            let text = format!("{before}{response}{behind}\n");
            let dressed = bodies(&text);
            if dressed.first() != plain.first() {
                wrong.push(format!("{text:?}: {dressed:?}"));
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {}:\n{}",
        wrong.len(),
        RESPONSES.len() * DRESSES.len(),
        wrong.join("\n")
    );
}

#[test]
fn what_may_be_part_of_a_value_stays() {
    for (text, body) in [
        ("+CREG: 0,1*", "0,1*"),
        ("+CREG: 2,1…", "2,1…"),
        ("+CREG: 2,1...", "2,1..."),
        ("+CREG: 2,1..", "2,1"),
        ("+CSQ: 17,9x", "17,9x"),
        ("+CGDCONT: 1,\"IP\",\"http://gauge.example\"", "1,\"IP\",\"http://gauge.example\""),
        ("+CGDCONT: 1,\"IP\",\"a;b|c -- d\"", "1,\"IP\",\"a;b|c -- d\""),
        ("+CCLK: \"26/03/04,12:00:01+04\"", "\"26/03/04,12:00:01+04\""),
        ("+CEER: Not specified, see 5 there", "Not specified, see 5 there"),
        ("+QTEMP: 35 degC", "35"),
    ] {
        assert_eq!(bodies(text)[0].1, body, "{text}");
    }
}

/// How each line of a text ends.
fn endings(text: &str) -> Vec<Ending> {
    let mut found = Vec::new();
    Capture::new(text).read(|piece| {
        if let Piece::Exchange(exchange) = piece {
            found.extend(exchange.lines.iter().map(|line| line.ending));
        }
    });
    found
}

#[test]
fn a_line_that_may_be_cut_says_so() {
    assert_eq!(endings("+CSQ: 17,9"), [Ending::WithText]);
    assert_eq!(endings("+CSQ: 17,99\n"), [Ending::Complete]);
    assert_eq!(endings("+CSQ: 17,99 OK"), [Ending::Complete]);
    assert_eq!(endings("+CGDCONT: 1,\"IP\",\"gauge.exa\n"), [Ending::OpenQuote]);
    assert_eq!(endings("+CREG: 0,1\r\n+CSQ: 1"), [Ending::Complete, Ending::WithText]);
    assert_eq!(endings("AT+CGSN\n00440015202"), [Ending::WithText]);
}

#[test]
fn an_exchange_that_is_cut_says_so() {
    let cut = |text: &str| {
        let mut found = Vec::new();
        Capture::new(text).read(|piece| {
            if let Piece::Exchange(exchange) = piece {
                found.push((exchange.begins_cut, exchange.ends_cut));
            }
        });
        found
    };
    let context = "+CGDCONT: 3,\"IP\",\"ims\"\nOK\n";
    assert_eq!(
        cut(&format!("{context}AT+CSQ\n+CSQ: 17,99\nOK\n")),
        [(true, false), (false, false)]
    );
    assert_eq!(cut(&format!("AT+CGDCONT?\n{context}AT+CSQ\n")), [(false, false), (false, true)]);
}
